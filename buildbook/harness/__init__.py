"""Every physical wire: route, pass-through pins, splices, cut length, bundles."""
