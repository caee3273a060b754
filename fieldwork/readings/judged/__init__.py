"""Verdicts, one file a subject. Each takes a `Case`; airflow and charge also the gate."""
