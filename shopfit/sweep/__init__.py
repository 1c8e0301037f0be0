"""Many solves at once: studies, and the processes or the cluster that their cases run on."""
