"""The two tables: documents and their revisions."""

import django.db.models.deletion
from django.db import migrations, models

ID = models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")


class Migration(migrations.Migration):
    """Make both tables."""

    initial = True
    dependencies = ()
    operations = (
        migrations.CreateModel(
            name="Document",
            fields=[
                ("id", ID.clone()),
                ("kind", models.CharField(max_length=16)),
                ("key", models.CharField(max_length=80)),
                ("newest", models.PositiveIntegerField()),
                ("name", models.TextField()),
                ("tags", models.JSONField(default=list)),
                ("figures", models.JSONField(null=True)),
                ("figures_of", models.PositiveIntegerField(default=0)),
                ("created", models.DateTimeField()),
                ("dropped", models.DateTimeField(null=True)),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("kind", "key"), name="one_document_a_key")
                ]
            },
        ),
        migrations.CreateModel(
            name="Revision",
            fields=[
                ("id", ID.clone()),
                ("number", models.PositiveIntegerField()),
                ("text", models.TextField()),
                ("message", models.TextField()),
                ("saved", models.DateTimeField()),
                (
                    "document",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="revisions",
                        to="doughwright.document",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("document", "number"), name="one_revision_a_number"
                    )
                ]
            },
        ),
    )
