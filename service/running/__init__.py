"""The service while it runs: processes, logs, metrics, health, and what is sent out."""
