"""The scale-out history in InfluxDB: `sender.Sender` writes there, `curves` read back."""
