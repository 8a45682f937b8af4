"""What people bring to a day, and which equipment is asked about."""

from django.db import migrations, models

BROUGHT = [
    ("bucket", "bucket with brushes"),
    ("sprayer", "hand sprayer"),
    ("barrow", "wheelbarrow"),
    ("truck", "truck"),
    ("tank", "water tank"),
]


def ask_about(apps, schema_editor):
    """Mark what people may bring; add what is not there."""
    equipment = apps.get_model("workdays", "Equipment")
    last = max(equipment.objects.values_list("order", flat=True), default=0)
    for number, (key, name) in enumerate(BROUGHT, start=1):
        row, _ = equipment.objects.get_or_create(
            key=key, defaults={"name": name, "order": last + number}
        )
        row.may_be_brought = True
        row.save(update_fields=["may_be_brought"])


class Migration(migrations.Migration):
    dependencies = [("workdays", "0007_state_of_a_cemetery")]

    operations = [
        migrations.AddField(
            model_name="equipment",
            name="may_be_brought",
            field=models.BooleanField(
                default=False,
                help_text="Whoever signs up is asked whether they bring it.",
            ),
        ),
        migrations.AddField(
            model_name="signup",
            name="brings",
            field=models.JSONField(blank=True, default=dict),
        ),
        migrations.RunPython(ask_about, migrations.RunPython.noop),
    ]
