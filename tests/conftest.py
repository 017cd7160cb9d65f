"""What all tests share."""

from hypothesis import HealthCheck, settings

# a slow or busy machine is no fault of the code: what is timed is timed by the benchmarks
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")
