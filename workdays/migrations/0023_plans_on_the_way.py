"""A request to plan keeps what it has found so far, how hard it searches, and its last sign."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("workdays", "0022_jobs_kept_out"),
    ]

    operations = [
        migrations.AddField(
            model_name="planrun",
            name="effort",
            field=models.CharField(
                choices=[
                    ("quick", "quick: about 10 seconds"),
                    ("thorough", "thorough: about a minute"),
                    ("long", "long: five minutes, with a closer bound"),
                ],
                default="quick",
                max_length=8,
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="found",
            field=models.JSONField(
                blank=True,
                default=dict,
                help_text="The best plan so far, by ids of people and jobs.",
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="made_on",
            field=models.PositiveIntegerField(
                blank=True, help_text="The version of the plan that it began with.", null=True
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="seen_at",
            field=models.DateTimeField(
                blank=True, help_text="When the worker last gave a sign.", null=True
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="tries",
            field=models.PositiveBigIntegerField(default=0),
        ),
        migrations.AlterField(
            model_name="planrun",
            name="state",
            field=models.CharField(
                choices=[
                    ("asked", "asked for"),
                    ("running", "running"),
                    ("done", "done"),
                    ("failed", "failed"),
                    ("cancelled", "cancelled"),
                ],
                default="asked",
                max_length=10,
            ),
        ),
    ]
