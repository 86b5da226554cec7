// Package demo holds the one scenario the project's programs and tests show: a
// timber boat shed with a long aisle, and the caretaker's cottage next door.
package demo

import _ "embed"

//go:embed shed.yaml
var shed []byte

//go:embed shed-wired.yaml
var shedWired []byte

//go:embed cottage.yaml
var cottage []byte

// ShedName, ShedWiredName and CottageName are the names under which messages about the files
// appear.
const (
	ShedName      = "shed.yaml"
	ShedWiredName = "shed-wired.yaml"
	CottageName   = "cottage.yaml"
)

// Shed returns a copy of the boat shed's job file: its lights, its places, its runs
// and what is wanted, but not how it is wired.
func Shed() []byte { return append([]byte(nil), shed...) }

// ShedWired returns a copy of a job file of the same shed that holds its wiring, and
// no runs.
func ShedWired() []byte { return append([]byte(nil), shedWired...) }

// Cottage returns a copy of the job file of the cottage as found: old cable, colours
// that lie, and a stair light that only sometimes obeys, for a traveler and the leg
// are exchanged at the stair head.
func Cottage() []byte { return append([]byte(nil), cottage...) }
