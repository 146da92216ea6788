"""Node voltages and branch currents in every operating state and under faults."""
