"""The templates of the web app: those of the printed pages, and around them our own."""

from typing import Any

from django.templatetags.static import static
from django.urls import reverse
from django_htmx.jinja import htmx_script
from jinja2 import ChoiceLoader, Environment, PackageLoader

from doughwright.render.ingredients import ingredient_facts
from doughwright.render.numbers import ratio_band
from doughwright.render.templating import templates as printed
from doughwright.web.assets import style_address
from doughwright.web.clocks import day, day_and_time


def environment(**options: Any) -> Environment:
    """One environment for all pages; Django's own options name no folders of ours."""
    del options
    made = printed().overlay(
        loader=ChoiceLoader(
            [PackageLoader("doughwright.web"), PackageLoader("doughwright.render")]
        ),
    )
    own = (day, day_and_time, ingredient_facts, ratio_band)
    made.filters = {**printed().filters, **{function.__name__: function for function in own}}
    made.globals = {
        **printed().globals,
        "htmx_script": htmx_script,
        "static": static,
        "style_address": style_address,
        "url": reverse,
    }
    return made
