"""Server: a class on one Linux machine, whose servers and kernels a warm process forks."""
