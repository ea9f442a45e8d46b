"""The addresses of the web app."""

from django.urls import URLPattern, URLResolver, path
from django.views.generic.base import RedirectView

from doughwright.web.api import api
from doughwright.web.views import (
    api_page,
    assets,
    bench,
    card,
    comparison,
    documents,
    formula,
    gather,
    history,
    ingredients,
    kitchens,
    library,
    pairing,
    plan,
    rework,
    saving,
    series,
    sources,
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(url="/breads")),
    # the library
    path("breads", library.breads, name="breads"),
    path("breads/new", documents.begin, {"kind": "formula"}),
    path("breads/import", library.bring_in),
    path("breads/gather", gather.gather),
    path("breads/<str:key>/copy", documents.begin, {"kind": "formula"}),
    path("breads/<str:key>/away", documents.away, {"kind": "formula"}),
    path("breads/<str:key>/back", documents.back, {"kind": "formula"}),
    # a bread written up for others
    path("breads/<str:key>/card", card.card),
    path("breads/<str:key>/card.pdf", card.as_pdf),
    path("breads/<str:key>/card.txt", card.as_text),
    path("breads/<str:key>/card.html", card.as_page),
    path("breads/<str:key>/card.json", card.as_json_ld),
    path("compare", sources.compare),
    path("compare/start", sources.start),
    path("library.zip", library.library_zip),
    path("series", series.series),
    path("series/new", documents.begin, {"kind": "series"}),
    path("series/<str:key>", series.one_series),
    path("series/<str:key>/copy", documents.begin, {"kind": "series"}),
    path("series/<str:key>/away", documents.away, {"kind": "series"}),
    path("series/<str:key>/back", documents.back, {"kind": "series"}),
    path("kitchens", kitchens.kitchens),
    path("kitchens/new", documents.begin, {"kind": "kitchen"}),
    path("kitchens/<str:key>", kitchens.kitchen),
    path("kitchens/<str:key>/copy", documents.begin, {"kind": "kitchen"}),
    path("kitchens/<str:key>/away", documents.away, {"kind": "kitchen"}),
    path("kitchens/<str:key>/back", documents.back, {"kind": "kitchen"}),
    path("ingredients", ingredients.ingredients),
    path("ingredients/own", ingredients.own_ingredient),
    path("save/<str:kind>/<str:key>", saving.resolve),
    # a bread
    path("breads/<str:key>", formula.formula),
    path("breads/<str:key>/live", formula.live),
    path("breads/<str:key>/rework", rework.rework),
    path("breads/<str:key>/history", history.history),
    path("breads/<str:key>/history/<int:number>", history.earlier),
    # at the bench
    path("breads/<str:key>/plan", plan.plan),
    path("breads/<str:key>/plan/pictures", plan.pictures),
    path("breads/<str:key>/plan.pdf", plan.as_pdf),
    path("breads/<str:key>/plan.ics", plan.as_calendar),
    path("breads/<str:key>/plan.html", plan.as_page),
    path("breads/<str:key>/kitchens", comparison.kitchens),
    path("breads/<str:key>/bench", bench.start),
    path("bench/<str:key>.ics", bench.as_calendar),
    path("bench/<str:key>", bench.bench),
    path("bench/<str:key>/steps/<int:position>", bench.step),
    path("bench/<str:key>/begin-now", bench.begin_now),
    path("bench/<str:key>/finish", bench.finish),
    path("bench/<str:key>/go-on", bench.go_on),
    path("events", bench.stream),
    # for programs
    path("api", api_page.described, name="api"),
    path("api/", api.urls),
    # for every page
    path("style.css", assets.style_sheet),
    path("pair", pairing.pair, name="pair"),
    path("pair/<str:code>", pairing.pair, name="pair-with"),
    path("devices", pairing.devices, name="devices"),
    path("devices/invite", pairing.invite, name="invite"),
    path("devices/<int:number>/revoke", pairing.revoke, name="revoke"),
]
handler400 = "doughwright.web.views.refusals.not_understood"
handler404 = "doughwright.web.views.refusals.not_found"
handler500 = "doughwright.web.views.refusals.our_fault"
