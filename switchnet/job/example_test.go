package job_test

import (
	"fmt"
	"os"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// A file with three mistakes gets three complaints, each with its place.
func ExampleParse() {
	_, err := job.Parse("shed.yaml", []byte(`format: 1
rules: us-2023
feeds:
  - {name: shed lights, box: panel, breaker: 15}
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device}
devices:
  - {name: aisle, box: slipdoor, kind: tree-way}
`), nil)
	fmt.Println(err)
	// Output:
	// shed.yaml:4:46: current "15" has no unit; expected a number and a unit (A, mA, uA, kA), such as 15 A
	//      4 |   - {name: shed lights, box: panel, breaker: 15}
	//        |                                              ^
	// shed.yaml:9:24: there is no box called "slipdoor"; expected panel or slip-door; did you mean "slip-door"?
	//      9 |   - {name: aisle, box: slipdoor, kind: tree-way}
	//        |                        ^
	// shed.yaml:9:40: "tree-way" is not a kind of device; expected double-pole, electronic switch, electronic three-way, four-way, locator-lit single-pole, pilot-lit single-pole, receptacle, single-pole, split receptacle, three-way, three-way dimmer or two switches on one yoke; did you mean "three-way"?
	//      9 |   - {name: aisle, box: slipdoor, kind: tree-way}
	//        |                                        ^
}

// A finding of another package is about an entry of a list; the file knows where
// that stands.
func ExampleFile_Position() {
	f, err := job.Parse("shed.yaml", []byte("format: 1\nrules: us-2023\nboxes:\n  - {name: loft, kind: device, gangs: 2}\n"), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	pos, ok := f.Position(wiring.Ref{List: "boxes", Index: 0, Field: "gangs"})
	fmt.Printf("%s:%d:%d %v\n", f.Name, pos.Line, pos.Column, ok)
	// Output: shed.yaml:4:39 true
}

func ExampleFormat() {
	out, err := job.Format("shed.yaml", []byte(`format: 1
rules:   us-2023
boxes:
- {name: loft,   kind: device}   # above the stair
- { "name": "no", kind: ceiling }
`), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	os.Stdout.Write(out)
	// Output:
	// format: 1
	// rules: us-2023
	//
	// boxes:
	//   - {name: loft, kind: device} # above the stair
	//   - {name: 'no', kind: ceiling}
}

// A wiring made by a program is written as a file.
func ExampleMarshal() {
	two, err := conductor.ParseCableType("14/2")
	if err != nil {
		fmt.Println(err)
		return
	}
	f := &job.File{Title: "Slipway floodlight", Rules: "us-2023"}
	f.Wiring = wiring.Spec{
		Supply:   switchnet.SplitPhase(),
		Boxes:    []wiring.Box{{Name: "slip-door", Kind: wiring.DeviceBox}},
		Cables:   []wiring.Cable{{Name: "C12", Type: two, From: "slip-door", Length: 9 * quantity.Foot}},
		Devices:  []wiring.Device{{Name: "slipway", Box: "slip-door", Kind: switchnet.SinglePole()}},
		Landings: []wiring.Landing{{Box: "slip-door", Device: "slipway", Terminal: "load", Wire: wiring.Wire{Cable: "C12", Conductor: "black"}}},
	}
	out, err := job.Marshal(f, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	os.Stdout.Write(out)
	// Output:
	// format: 1
	// title: Slipway floodlight
	// rules: us-2023
	//
	// boxes:
	//   - {name: slip-door, kind: device}
	//
	// cables:
	//   - {name: C12, type: 14/2, from: slip-door, to: unknown, length: 9 ft}
	//
	// devices:
	//   - {name: slipway, box: slip-door, kind: single-pole}
	//
	// landings:
	//   - {box: slip-door, device: slipway, terminal: load, wire: C12.black}
}
