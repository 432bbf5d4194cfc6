"""beadwise: convert, compare and audit the settings of material-extrusion printers."""
