"""The same plan many times: tasks for a Dask cluster, kept as they are done; no other room imports Dask."""
