"""The state of a cemetery: its law says from which age people sign for themselves."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("workdays", "0006_where_minutes_come_from"),
    ]

    operations = [
        migrations.AddField(
            model_name="cemetery",
            name="us_state",
            field=models.CharField(
                blank=True,
                help_text="Two letters; decides from which age people sign.",
                max_length=2,
            ),
        ),
    ]
