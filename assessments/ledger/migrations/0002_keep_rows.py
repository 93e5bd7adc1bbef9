"""The database itself refuses to change or remove what is in the ledger."""

from django.db import migrations

from assessments.ledger.guards import guard, unguard


class Migration(migrations.Migration):
    dependencies = [("ledger", "0001_initial")]

    operations = [
        migrations.RunPython(
            guard("ledger_event", ("person_id", "sequence"), ("hash",), ("token",)), unguard("ledger_event")
        ),
        migrations.RunPython(guard("ledger_workdone", ("corrects_id",)), unguard("ledger_workdone")),
        migrations.RunPython(guard("ledger_occurrence", ("corrects_id",)), unguard("ledger_occurrence")),
    ]
