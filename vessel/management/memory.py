"""What the C libraries are told about memory and threads in the processes that judge legs.

Left alone it hands large arrays back to the system as soon as they are freed and takes them again page by page:
the sweep of ten days of departures took a third longer so. Other C libraries pass these names over.
"""

MEMORY_KEPT = {
    "MALLOC_MMAP_THRESHOLD_": str(32 * 1024 * 1024),  # bytes; the most glibc takes
    "MALLOC_TRIM_THRESHOLD_": str(128 * 1024 * 1024),  # bytes kept for the next arrays, at most
}

# The matrices here are small: on busy cores the threads of one product wait for each other fifty times as long as it takes.
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1"}
