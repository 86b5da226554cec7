package check_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// Check a job file, with the line of each finding, a state that shows it and a fix.
func ExampleRun() {
	const name = "testdata/codes/does-not-toggle/pairs-crossed.yaml"
	src, err := os.ReadFile(name)
	if err != nil {
		panic(err)
	}
	f, err := job.Parse(name, src, nil)
	if err != nil {
		panic(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		panic(err)
	}
	found, err := check.Run(context.Background(), check.Job{Wiring: w, Intent: f.Intent}, check.Everything(f.Region), nil)
	if err != nil {
		panic(err)
	}
	for _, v := range found[:1] {
		pos, _ := f.Position(v.Place.At)
		fmt.Printf("line %d: %s (%v): %s\n", pos.Line, v.Code, v.Standing, v.Message)
		fmt.Printf("  with %s\n", v.Witness[0].Says)
		fmt.Printf("  a person might: %s\n", v.Fixes[0].Does)
	}
	// Output:
	// line 32: does-not-toggle (defect): stair at landing does not always toggle stair light: it stays unlit; it is lit only with stair at landing down
	//   with landing up, loft up, stair-foot up
	//   a person might: exchange what is on stair.pair 1 first and stair.pair 2 second in box landing
}

// A finding as JSON: codes, names and words are stable.
func ExampleFinding_MarshalJSON() {
	const name = "testdata/codes/shell-on-hot/leads-exchanged.yaml"
	src, err := os.ReadFile(name)
	if err != nil {
		panic(err)
	}
	f, err := job.Parse(name, src, nil)
	if err != nil {
		panic(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		panic(err)
	}
	found, err := check.Run(context.Background(), check.Job{Wiring: w, Intent: f.Intent}, check.Safety(f.Region), nil)
	if err != nil {
		panic(err)
	}
	out, err := json.MarshalIndent(found[0], "", "  ")
	if err != nil {
		panic(err)
	}
	fmt.Println(string(out))
	// Output:
	// {
	//   "code": "shell-on-hot",
	//   "place": {
	//     "list": "lights",
	//     "index": 0,
	//     "box": "slipway",
	//     "device": "floodlight"
	//   },
	//   "about": {
	//     "box": "slipway",
	//     "name": "floodlight"
	//   },
	//   "message": "the neutral end of floodlight is on the hot, and so is the shell that a hand can touch",
	//   "section": {
	//     "section": "NEC 200.10(C) and 410.90",
	//     "edition": "2023",
	//     "confidence": "high"
	//   },
	//   "standing": "hazardous",
	//   "fixes": [
	//     {
	//       "does": "exchange what is on floodlight.hot and floodlight.neutral in box slipway",
	//       "edits": [
	//         {
	//           "edit": "exchange terminals",
	//           "box": "slipway",
	//           "joints": [
	//             {
	//               "device": "floodlight",
	//               "terminal": "hot"
	//             },
	//             {
	//               "device": "floodlight",
	//               "terminal": "neutral"
	//             }
	//           ]
	//         }
	//       ]
	//     }
	//   ]
	// }
}
