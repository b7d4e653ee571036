"""Between benches and their hub, over an MQTT broker."""
