package wiring_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// mistake is one contradiction put into the three-way pair. What is said of it is
// "place: detail", with "(see place)" and candidates as Problem.Error writes them.
type mistake struct {
	why  string
	spec func(s *wiring.Spec)
	want string
}

var partMistakes = []mistake{
	{"no supply", func(s *wiring.Spec) { s.Supply = switchnet.System{} },
		"supply: no supply system is stated; it is split phase, wye or single phase"},
	{"a supply that no service gives", func(s *wiring.Spec) { s.Supply.Lines = 7 },
		`supply: switchnet: source "service" has 7 lines; a supply has 1, 2 or 3`},
	{"a supply without volts", func(s *wiring.Spec) { s.Supply.LineToNeutral = 0 },
		`supply: switchnet: source "service" has no voltage from line to neutral`},
	{"a year with a digit missing", func(s *wiring.Spec) { s.Installed = 203 },
		"installed: 203 is no year of installation; write 1880 or later, or nothing if it is not known"},
	{"a box without a name", func(s *wiring.Spec) { s.Boxes = append(s.Boxes, wiring.Box{Kind: wiring.DeviceBox}) },
		"boxes[4].name: has no name; give it one"},
	{"a blank nobody sees", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: "yard ", Kind: wiring.DeviceBox})
	}, `boxes[4].name: the name "yard " has a blank at an end or a control character; take it out`},
	{"a line break in a name", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: "yard\ndoor", Kind: wiring.DeviceBox})
	}, `boxes[4].name: the name "yard\ndoor" has a blank at an end or a control character; take it out`},
	{"a name that turns the order of its letters around", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: "yard\u202edoor", Kind: wiring.DeviceBox})
	}, `boxes[4].name: the name "yard\u202edoor" has a blank at an end or a control character; take it out`},
	{"bytes that are no text", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: "yard\xff", Kind: wiring.DeviceBox})
	}, `boxes[4].name: the name "yard\xff" is not UTF-8; write it again`},
	{"a name nobody reads", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: strings.Repeat("y", 201), Kind: wiring.DeviceBox})
	}, "boxes[4].name: the name is 201 bytes long; the limit is 200"},
	{"two boxes of one name", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: "loft", Kind: wiring.DeviceBox})
	}, `boxes[4].name: a box called "loft" exists already (see boxes[2].name)`},
	{"the name of an unknown end", func(s *wiring.Spec) {
		s.Boxes = append(s.Boxes, wiring.Box{Name: wiring.UnknownPlace("C1"), Kind: wiring.DeviceBox})
	}, `boxes[4].name: a box cannot be called "unknown end of C1", which stands for the end of a cable whose box is not known`},
	{"what the box is for is not said", func(s *wiring.Spec) { s.Boxes[2].Kind = 0 },
		`boxes[2].kind: box "loft" has no kind; it is device, ceiling, junction or panel`},
	{"beyond the last kind of box", func(s *wiring.Spec) { s.Boxes[2].Kind = wiring.Panel + 1 },
		`boxes[2].kind: box "loft" has no kind; it is device, ceiling, junction or panel`},
	{"fewer gangs than none", func(s *wiring.Spec) { s.Boxes[2].Gangs = -1 }, `boxes[2].gangs: box "loft" has -1 gangs; a box has 1 to 20`},
	{"a box as long as a wall", func(s *wiring.Spec) { s.Boxes[2].Gangs = 21 }, `boxes[2].gangs: box "loft" has 21 gangs; a box has 1 to 20`},
	{"beyond the last kind of clamp", func(s *wiring.Spec) { s.Boxes[2].Clamps = wiring.NoClamps + 1 },
		`boxes[2].clamps: box "loft" has ClampKind(4); clamps are internal, external or none`},
	{"a hole through the edge is a notch", func(s *wiring.Spec) { s.Cables[0].Bored = []quantity.Length{quantity.Inch, 0} },
		`cables[0].bored: cable "C1" runs through a hole 0 ft from an edge; a hole has more than that to its edge, or is a notch`},
	{"more holes than a building has studs", func(s *wiring.Spec) { s.Cables[0].Bored = make([]quantity.Length, 1001) },
		`cables[0].bored: cable "C1" runs through 1001 holes; it runs through at most 1000`},
	{"fewer notches than none", func(s *wiring.Spec) { s.Cables[0].Notches = -1 },
		`cables[0].notches: cable "C1" runs through -1 notches; it is 0 to 1000`},
	{"a device of a protection that is none", func(s *wiring.Spec) { s.Devices[0].Protection = []conductor.ProtectionKind{9} },
		`devices[0].protection 0: device "stair" has a protection of no kind`},
	{"a device of one protection twice", func(s *wiring.Spec) {
		s.Devices[0].Protection = []conductor.ProtectionKind{conductor.GroundFault, conductor.GroundFault}
	}, `devices[0].protection 1: device "stair" lists ground-fault protection twice`},
	{"supports closer than none", func(s *wiring.Spec) { s.Cables[0].Apart = -quantity.Inch },
		`cables[0].supports apart: the supports of cable "C1" are -1 in apart; that is above zero and not above 10 km, and 0 if it is not stated`},
	{"a support within the box", func(s *wiring.Spec) { s.Cables[0].Entries[1].Support = -quantity.Inch },
		`cables[0].to end: cable "C1" at box "store": its first support is -1 in away; that is not below zero and not above 10 km`},
	{"shorter than straight", func(s *wiring.Spec) {
		s.Cables[0].Entries[0] = wiring.Entry{Support: 12 * quantity.Inch, Along: 11 * quantity.Inch}
	}, `cables[0].from end: cable "C1" at box "panel": its first support is 1 ft away and 11 in along it; it cannot be shorter along the cable than straight`},
	{"sheath in two minds", func(s *wiring.Spec) { s.Cables[0].Entries[0].Sheath = quantity.Inch },
		`cables[0].from end: cable "C1" at box "panel": its sheath reaches 1 in into it, and is said not to be stated`},
	{"measured where nobody has been", func(s *wiring.Spec) {
		s.Cables = append(s.Cables, wiring.Cable{Name: "C9", Type: s.Cables[0].Type, From: "store", Entries: [2]wiring.Entry{1: {Free: quantity.Foot}}})
	}, `cables[3].to end: the end of cable "C9" is measured, and its box is not known`},
	{"nailed to neither side", func(s *wiring.Spec) { s.Boxes[2].NailSide = wiring.RightSide + 1 },
		`boxes[2].nail side: box "loft" has its nails on Side(3); they are left or right of it`},
	{"a third side of a door", func(s *wiring.Spec) { s.Boxes[2].Door = wiring.LatchSide + 1 },
		`boxes[2].door: box "loft" stands on DoorSide(3) of a door; it is the hinge side or the latch side`},
	{"a door that swings neither way", func(s *wiring.Spec) { s.Boxes[2].Door, s.Boxes[2].DoorOpens = wiring.HingeSide, wiring.AwayFromBox+1 },
		`boxes[2].door opens: the door beside box "loft" opens DoorSwing(3); it opens toward the box or away from it`},
	{"a door of which only the swing is known covers nobody knows what", func(s *wiring.Spec) { s.Boxes[2].DoorOpens = wiring.TowardBox },
		`boxes[2].door opens: a door opens beside box "loft", and on which side of it the box stands is not said`},

	{"supports farther apart than the cable is long", func(s *wiring.Spec) { s.Cables[0].Length, s.Cables[0].Apart = 10*quantity.Foot, 11*quantity.Foot },
		`cables[0].supports apart: the supports of cable "C1" are 11 ft apart, and the whole cable is 10 ft long`},
	{"a first support beyond the far end", func(s *wiring.Spec) {
		s.Cables[0].Length, s.Cables[0].Entries[1].Support = 10*quantity.Foot, 11*quantity.Foot
	}, `cables[0].to end: cable "C1" at box "store": its first support is 11 ft away, and the whole cable is 10 ft long`},
	{"more in the box than the cable has", func(s *wiring.Spec) {
		s.Cables[0].Length = 10 * quantity.Inch
		s.Cables[0].Entries[1] = wiring.Entry{Sheath: 5 * quantity.Inch, SheathStated: true, Free: 6 * quantity.Inch}
	}, `cables[0].to end: cable "C1" at box "store": its sheath and conductors reach 11 in from there, and the whole cable is 10 in long`},
	{"a hole deeper than framing", func(s *wiring.Spec) { s.Cables[0].Bored = []quantity.Length{2 * quantity.Meter} },
		`cables[0].bored: cable "C1" runs through a hole 2 m from the nearest edge; no framing is that deep: 1 m is the most`},
	{"a panel has no left", func(s *wiring.Spec) { s.Boxes[0].NailSide = wiring.LeftSide },
		`boxes[0].nail side: box "panel" is a panel box, of which no side is left or right; it goes with a device or junction box`},
	{"no door covers a panel", func(s *wiring.Spec) { s.Boxes[0].Door = wiring.HingeSide },
		`boxes[0].door: box "panel" is a panel box, which no door covers; it goes with a device or junction box`},
	{"a feed without a name", func(s *wiring.Spec) { s.Feeds = append(s.Feeds, feed("", "panel")) }, "feeds[1].name: has no name; give it one"},
	{"a feed in no box", func(s *wiring.Spec) { s.Feeds = append(s.Feeds, feed("yard", "")) },
		`feeds[1].box: there is no box called ""; known: loft, panel, ridge, store`},
	{"a feed named as what it feeds from", func(s *wiring.Spec) { s.Feeds = append(s.Feeds, feed("box", "panel")) },
		`feeds[1].name: nothing in a box can be called "box", which stands for its grounding screw`},
	{"two feeds of one name", func(s *wiring.Spec) { s.Feeds = append(s.Feeds, feed("shed lights", "panel")) },
		`feeds[1].name: "shed lights" is in box "panel" already; names are unique within a box (see feeds[0].name)`},
	{"more poles than lines", func(s *wiring.Spec) { s.Feeds[0].Poles, s.Feeds[0].Lines = 2, []switchnet.Rail{switchnet.LineA} },
		`feeds[0].poles: feed "shed lights" has 2 poles on 1 lines; it has 1, 2 or 3 poles, each on a line`},
	{"a line the supply lacks", func(s *wiring.Spec) { s.Feeds[0].Lines = []switchnet.Rail{switchnet.LineC} },
		`feeds[0].lines: feed "shed lights" is on line C; the supply has 2 lines, of which line A is the first`},
	{"a neutral for a line", func(s *wiring.Spec) { s.Feeds[0].Lines = []switchnet.Rail{switchnet.Neutral} },
		`feeds[0].lines: feed "shed lights" is on neutral; the supply has 2 lines, of which line A is the first`},
	{"both poles on one line: no 240 V", func(s *wiring.Spec) {
		f := feed("yard", "panel")
		f.Lines = []switchnet.Rail{switchnet.LineB, switchnet.LineB}
		s.Feeds = append(s.Feeds, f)
	}, `feeds[1].lines: feed "yard" has two poles on line B; each pole has a line of its own`},
	{"no rating", func(s *wiring.Spec) { s.Feeds[0].Breaker = 0 },
		`feeds[0].breaker: feed "shed lights" has no breaker rating; write what stands on the breaker`},
	{"a protection that there is not", func(s *wiring.Spec) { s.Feeds[0].Protection = []conductor.ProtectionKind{conductor.ArcFault, 9} },
		`feeds[0].protection 1: feed "shed lights" has a protection of no kind`},
	{"one protection twice", func(s *wiring.Spec) {
		s.Feeds[0].Protection = []conductor.ProtectionKind{conductor.ArcFault, conductor.ArcFault}
	},
		`feeds[0].protection 1: feed "shed lights" lists arc-fault protection twice`},
	{"negative volts", func(s *wiring.Spec) { s.Feeds[0].Volts = -1 }, `feeds[0].volts: feed "shed lights" has a negative voltage`},

	{"a device without a name", func(s *wiring.Spec) { s.Devices = append(s.Devices, dev("", "loft", switchnet.SinglePole())) },
		"devices[2].name: has no name; give it one"},
	{"a device in no box", func(s *wiring.Spec) { s.Devices = append(s.Devices, dev("aisle", "attic", switchnet.SinglePole())) },
		`devices[2].box: there is no box called "attic"; known: loft, panel, ridge, store`},
	{"the grounding screw for a device", func(s *wiring.Spec) { s.Devices = append(s.Devices, dev("box", "loft", switchnet.SinglePole())) },
		`devices[2].name: nothing in a box can be called "box", which stands for its grounding screw`},
	{"two devices of one name in a box", func(s *wiring.Spec) { s.Devices = append(s.Devices, dev("stair", "loft", switchnet.ThreeWay())) },
		`devices[2].name: "stair" is in box "loft" already; names are unique within a box (see devices[1].name)`},
	{"a kind that joins what it lacks", func(s *wiring.Spec) {
		k := switchnet.SinglePole()
		k.Positions[1].Joins[0][1] = "leg"
		s.Devices = append(s.Devices, dev("aisle", "loft", k))
	}, `devices[2].kind: kind "single-pole" joins "leg" in position "on"; its terminals are line, load`},
	{"one name for two kinds", func(s *wiring.Spec) {
		k := switchnet.ThreeWay()
		k.Dimmer = true
		s.Devices = append(s.Devices, dev("aisle", "loft", k))
	}, `devices[2].kind: kind "three-way" is not the same as another of that name; rename one (see devices[0].kind)`},
	{"a breaker among the switches", func(s *wiring.Spec) { s.Devices = append(s.Devices, dev("aisle", "loft", switchnet.Breaker(1))) },
		`devices[2].kind: device "aisle" is a breaker; a breaker is the beginning of a circuit and is listed as a feed`},
	{"the name of what stands for a feed", func(s *wiring.Spec) {
		k := switchnet.SinglePole()
		k.Name = "feed 2-pole breaker"
		s.Devices = append(s.Devices, dev("aisle", "loft", k))
	}, `devices[2].kind: a kind of device cannot be called "feed 2-pole breaker", which stands for the breaker of a feed; rename it`},
	{"a negative width", func(s *wiring.Spec) { s.Devices[0].Gangs = -1 }, `devices[0].gangs: device "stair" is -1 gangs wide; it is 1 to 20`},
	{"a device as wide as a wall", func(s *wiring.Spec) { s.Devices[0].Gangs = 21 }, `devices[0].gangs: device "stair" is 21 gangs wide; it is 1 to 20`},
	{"a place in the wall beside the box", func(s *wiring.Spec) { s.Devices[0].Gang = -1 },
		`devices[0].gang: device "stair" stands in gang -1; the leftmost gang of a box is 1, and it has 20 at most`},
	{"a gang that no box has", func(s *wiring.Spec) { s.Devices[0].Gang = 21 },
		`devices[0].gang: device "stair" stands in gang 21; the leftmost gang of a box is 1, and it has 20 at most`},
	{"a gang that this box has not", func(s *wiring.Spec) { s.Devices[0].Gang = 2 },
		`devices[0].gang: device "stair" reaches to gang 2, and box "store" has 1 (see boxes[1].gangs)`},
	{"a wide device that begins too far to the right", func(s *wiring.Spec) {
		s.Boxes[2].Gangs, s.Devices[1].Gang, s.Devices[1].Gangs = 2, 2, 2
	}, `devices[1].gang: device "stair" reaches to gang 3, and box "loft" has 2 (see boxes[2].gangs)`},
	{"two devices in one gang", func(s *wiring.Spec) {
		s.Boxes[2].Gangs, s.Devices[1].Gang = 2, 1
		s.Devices = append(s.Devices, dev("aisle", "loft", switchnet.SinglePole()))
		s.Devices[2].Gang = 1
	}, `devices[2].gang: gang 1 of box "loft" has "stair" in it already; state another, or the yoke that both are on (see devices[1].gang)`},
	{"a device in a gang that a wide one covers", func(s *wiring.Spec) {
		s.Boxes[2].Gangs, s.Devices[1].Gang, s.Devices[1].Gangs = 3, 1, 2
		s.Devices = append(s.Devices, dev("aisle", "loft", switchnet.SinglePole()))
		s.Devices[2].Gang = 2
	}, `devices[2].gang: gang 2 of box "loft" has "stair" in it already; state another, or the yoke that both are on (see devices[1].gang)`},
	{"a negative depth", func(s *wiring.Spec) { s.Devices[0].Depth = -1 }, `devices[0].depth: device "stair" has a negative depth`},
	{"a pilot lamp that would be called as a device is", func(s *wiring.Spec) {
		s.Devices = append(s.Devices, dev("aisle pilot", "loft", switchnet.SinglePole()), dev("aisle", "loft", switchnet.PilotSinglePole()))
	}, `devices[3].name: device "aisle" has a "pilot" inside, which is called "aisle pilot", and that is in box "loft" already; rename one (see devices[2].name)`},

	{"a light without a name", func(s *wiring.Spec) { s.Lights = append(s.Lights, wiring.Light{Box: "loft"}) }, "lights[1].name: has no name; give it one"},
	{"a light in no box", func(s *wiring.Spec) { s.Lights = append(s.Lights, wiring.Light{Name: "lamp", Box: "lofft"}) },
		`lights[1].box: there is no box called "lofft"; known: loft, panel, ridge, store`},
	{"a light called as a switch beside it", func(s *wiring.Spec) { s.Lights = append(s.Lights, wiring.Light{Name: "stair", Box: "loft"}) },
		`lights[1].name: "stair" is in box "loft" already; names are unique within a box (see devices[1].name)`},
	{"a light that gives power", func(s *wiring.Spec) { s.Lights[0].Power = -1 },
		`lights[0].load: light "ridge lamp" has a load of -0.000001 W; it is not below zero and not above 1000 kW`},
	{"a lighthouse", func(s *wiring.Spec) { s.Lights[0].Power = 1001 * quantity.Kilowatt },
		`lights[0].load: light "ridge lamp" has a load of 1001 kW; it is not below zero and not above 1000 kW`},
	{"an unknown kind of load", func(s *wiring.Spec) { s.Lights[0].Kind = 5 },
		`lights[0].kind: light "ridge lamp" has the kind of load 5; there are resistive, electronic, transformer and motor`},
	{"more power than volts times amperes", func(s *wiring.Spec) { s.Lights[0].Kind, s.Lights[0].PowerFactor = wiring.Motor, 101*quantity.Percent },
		`lights[0].power factor: light "ridge lamp" has power factor 1.01; it is above 0 and not above 1`},
	{"a resistance out of phase", func(s *wiring.Spec) { s.Lights[0].PowerFactor = 90 * quantity.Percent },
		`lights[0].power factor: light "ridge lamp" has power factor 0.9, and a resistive load has 1; say that its kind is electronic, transformer or motor`},
	{"a filament that leaks", func(s *wiring.Spec) { s.Lights[0].Kind, s.Lights[0].Leakage = wiring.Resistive, quantity.Milliampere },
		`lights[0].leakage: light "ridge lamp" leaks or turns on at a voltage, as only an electronic load does; say that its kind is electronic`},
	{"a negative turn-on", func(s *wiring.Spec) { s.Lights[0].Kind, s.Lights[0].TurnOn = wiring.Electronic, -1 },
		`lights[0].leakage: light "ridge lamp" has a leakage or turn-on voltage below zero`},
	{"negative volts of a light", func(s *wiring.Spec) { s.Lights[0].Volts = -1 }, `lights[0].volts: light "ridge lamp" has a negative voltage`},
	{"ends of nothing", func(s *wiring.Spec) { s.Lights[0].Ends = [2]string{"hot 1", "neutral 1"} },
		`lights[0].ends: light "ridge lamp" names ends without the device it is plugged into`},
	{"plugged into what is not there", plugged("counter", "hot 1", "neutral 1"),
		`lights[1].on: box "loft" has no device called "counter" to plug light "lamp" into; known: stair`},
	{"plugged into a light", func(s *wiring.Spec) {
		plugged("lamp 0", "hot", "neutral")(s)
		s.Lights = append(s.Lights, wiring.Light{Name: "lamp 0", Box: "loft"})
	}, `lights[1].on: box "loft" has no device called "lamp 0" to plug light "lamp" into; known: stair`},
	{"plugged into a feed", func(s *wiring.Spec) {
		s.Lights = append(s.Lights, wiring.Light{Name: "lamp", Box: "panel", On: "shed lights", Ends: [2]string{"hot", "neutral"}})
	}, `lights[1].on: box "panel" has no device called "shed lights" to plug light "lamp" into`},
	{"plugged into a terminal that is not there", plugged("stair", "comon", "traveler 1"),
		`lights[1].ends: "stair" in box "loft" has no terminal "comon"; known: common, traveler 1, traveler 2, ground`},
	{"both prongs in one slot", plugged("stair", "common", "common"), `lights[1].ends: light "lamp" has both ends on one terminal`},
	{"a table lamp with a canopy", func(s *wiring.Spec) { plugged("stair", "common", "traveler 1")(s); s.Lights[1].Canopy = true },
		`lights[1].canopy: light "lamp" is plugged in, so it has no canopy on the box`},
	{"a table lamp with leads in the box", func(s *wiring.Spec) {
		plugged("stair", "common", "traveler 1")(s)
		s.Lights[1].Leads = conductor.AWG(18)
	}, `lights[1].leads: light "lamp" is plugged in, so it has no leads in the box`},
}

func feed(name, box string) wiring.Feed {
	return wiring.Feed{Name: name, Box: box, Breaker: 15 * quantity.Ampere}
}

func dev(name, box string, k switchnet.Kind) wiring.Device {
	return wiring.Device{Name: name, Box: box, Kind: k}
}

func plugged(on, hot, neutral string) func(s *wiring.Spec) {
	return func(s *wiring.Spec) {
		s.Lights = append(s.Lights, wiring.Light{Name: "lamp", Box: "loft", On: on, Ends: [2]string{hot, neutral}})
	}
}

func TestPartProblems(t *testing.T) { testMistakes(t, partMistakes) }

func testMistakes(t *testing.T, mistakes []mistake) {
	for _, m := range mistakes {
		s := pair(t)
		m.spec(&s)
		w, err := wiring.New(s)
		var ps wiring.Problems
		if !errors.As(err, &ps) || w != nil {
			t.Errorf("%s: %v, %v", m.why, w, err)
			continue
		}
		if len(ps) != 1 || ps[0].Error() != m.want {
			t.Errorf("%s: it says\n%v\nand should say\n%s", m.why, err, m.want)
		}
		var first *wiring.Problem
		if !errors.As(err, &first) || first != ps[0] || !strings.Contains(err.Error(), "wiring: "+m.want) {
			t.Errorf("%s: the error does not lead to its problem: %v", m.why, err)
		}
	}
}

// All of them are reported at once, in the order of lists and entries, and once.
func TestProblemsAtOnce(t *testing.T) {
	var all, want []string
	s := pair(t)
	for _, m := range []func(s *wiring.Spec){
		func(s *wiring.Spec) { s.Ties = append(s.Ties, wiring.Tie{Box: "attic"}) },
		func(s *wiring.Spec) { s.Installed = -1 },
		func(s *wiring.Spec) { s.Landings[4].Terminal = "pole" },
		func(s *wiring.Spec) { s.Landings[2].Box = "attic" },
		func(s *wiring.Spec) { s.Boxes[0].Kind = 0 },
		func(s *wiring.Spec) { s.Feeds[0].Breaker = -1 },
		func(s *wiring.Spec) { s.Feeds[0].Volts = -1 },
		func(s *wiring.Spec) { s.Caps = append(s.Caps, wiring.Cap{Box: "loft", Wire: wire("C9.red")}) },
		func(s *wiring.Spec) { s.Cables[1].Length = -1 },
		func(s *wiring.Spec) { s.Supply.Lines = 0 },
	} {
		m(&s)
		one := pair(t)
		m(&one)
		_, err := wiring.New(one)
		var ps wiring.Problems
		errors.As(err, &ps)
		for _, p := range ps {
			want = append(want, p.Error())
		}
	}
	_, err := wiring.New(s)
	var ps wiring.Problems
	if !errors.As(err, &ps) {
		t.Fatal(err)
	}
	var places []string
	for _, p := range ps {
		all = append(all, p.Error())
		places = append(places, p.At.String())
	}
	order := []string{"supply", "installed", "feeds[0].breaker", "feeds[0].volts", "boxes[0].kind", "cables[1].length",
		"landings[2].box", "landings[4].terminal", "caps[0].wire", "ties[0].box"}
	if !slices.Equal(places, order) {
		t.Errorf("problems at\n%v\nand not at\n%v", places, order)
	}
	slices.Sort(all)
	slices.Sort(want)
	if !slices.Equal(all, want) {
		t.Errorf("together\n%v\nand one by one\n%v", strings.Join(all, "\n"), strings.Join(want, "\n"))
	}
}

// The zero Spec lacks a supply and nothing else.
func TestZeroSpec(t *testing.T) {
	_, err := wiring.New(wiring.Spec{})
	if want := "wiring: supply: no supply system is stated; it is split phase, wye or single phase"; fmt.Sprint(err) != want {
		t.Errorf("%v, want %v", err, want)
	}
	w := build(t, wiring.Spec{Supply: switchnet.SplitPhase()})
	if n := len(w.Circuits()); n != 0 {
		t.Errorf("an empty job has %d circuits", n)
	}
}
