"""Views: frozen records of what pictures and pages show; theorykit.show draws them."""
