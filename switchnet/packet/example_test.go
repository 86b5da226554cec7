package packet_test

import (
	"context"
	"fmt"
	"os"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// The sheet of one box of the boat shed.
func Example() {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		fmt.Println(err)
		return
	}
	doc, err := packet.Build(context.Background(), packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := packet.WriteBox(os.Stdout, doc, 11); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Boat shed
	//
	// BEFORE ANYONE TOUCHES A CONDUCTOR
	//   1. De-energize: switch off every circuit that enters the box, not only the one you came for,
	//      and lock out and tag each breaker.
	//   2. Prove it dead: prove the tester on a known live source, test every conductor to every other
	//      and to ground, then prove the tester again on the live source.
	//   3. Follow the code as adopted where the job is, with its local amendments; its inspector has
	//      the last word, and nothing here is a substitute for it.
	//   4. This is work for a licensed electrician, or for whoever the law of the place permits to do
	//      it. If in doubt, stop and ask one.
	//   5. All of this is computed from what was written down; nothing here was measured. Check it
	//      against the wiring as built before energizing.
	//
	// BOX slipway
	// ================================================================================================
	// ceiling box; marked 20 in3; outdoors over the slip door
	// To switch off and lock out, as drawn: shed lights at panel
	// Height as drawn: 10 ft up, at 12 ft along and 0 ft across.
	// Cables: C12 (14/2, other end in slip-door)
	//
	// Rough-in: splices
	//   [ ]  1  C12.black, hot lead of floodlight (at trim)
	//           switch leg of floodlight
	//   [ ]  2  C12.white, neutral lead of floodlight (at trim)
	//           neutral of shed lights
	//   [ ]  3  C12.bare, ground lead of floodlight (at trim)
	//           ground
	//
	// floodlight, light, 50 W
	//   [ ]  hot      from splice 1  switch leg of floodlight
	//   [ ]  neutral  from splice 2  neutral of shed lights
	//   [ ]  ground   from splice 3  ground
	//
	// Box fill
	//   2  spliced conductor    14 AWG  2 x 2 in3 = 4 in3  NEC 314.16(B)(1) (2023)
	//   1  grounding conductor  14 AWG  1 x 2 in3 = 2 in3  NEC 314.16(B)(5) (2023)
	//   1  internal clamp       14 AWG  1 x 2 in3 = 2 in3  NEC 314.16(B)(2) (2023)
	//   3  wire connector       14 AWG  nothing            NEC 314.16(B) (2023)
	//   1  marked box                   20 in3             NEC 314.16(A) (2023)
	//   required 8 in3, available 20 in3, spare 12 in3: fits
	//   note: The size of the leads of floodlight is not stated, so they are not counted.
}
