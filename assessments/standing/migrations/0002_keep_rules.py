"""The database itself refuses to change or remove a revision of a rule."""

from django.db import migrations

from assessments.ledger.guards import guard, unguard


class Migration(migrations.Migration):
    dependencies = [("standing", "0001_initial"), ("ledger", "0002_keep_rows")]

    operations = [
        migrations.RunPython(guard("standing_taskrule", ("task_id", "number")), unguard("standing_taskrule")),
    ]
