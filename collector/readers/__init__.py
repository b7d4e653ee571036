"""I/O in: ports, and the threads that read them. Threads exist nowhere else in the service."""
