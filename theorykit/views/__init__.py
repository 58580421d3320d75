"""What pictures and pages show: decided here, drawn in theorykit.show."""
