// Package demo holds the one scenario the project's programs and tests show: a
// timber boat shed with a long aisle.
package demo

import _ "embed"

//go:embed shed.yaml
var shed []byte

// ShedName is the name under which messages about the boat shed's file appear.
const ShedName = "shed.yaml"

// Shed returns a copy of the boat shed's job file: its lights, its places and its
// wiring as found.
func Shed() []byte { return append([]byte(nil), shed...) }
