"""Tables, migrations, and the ledger over them. SQL is spoken here and nowhere else."""
