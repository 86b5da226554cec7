// Package job reads and writes the job file: one file that people write, with
// what is wanted of a job, what is there, or both.
//
// # Use
//
//	f, err := job.Parse("shed.yaml", src, nil) // err: every mistake, each at its line and column
//	w, err := wiring.New(f.Wiring)             // what is there
//	pos, ok := f.Position(wiring.Ref{List: "landings", Index: 3}) // where the file says so
//	out, err := job.Format("shed.yaml", src, nil) // the same file in its one layout
//	out, err := job.Marshal(f, nil)            // a file made by a program
//	out, err := job.WithWiring("shed.yaml", src, spec, nil) // the same file with a wiring in it
//	err = job.Explain("shed.yaml", src, err, nil) // what another package found, at its line and column
//
// The error of Parse is an [*Errors], data as well as text.
//
// # The file
//
// YAML, of which JSON is a part: 'key: value' lines, '- ' lists, and brackets for
// what fits on a line. A scalar is the text that was written: 010, 1.10, on and no
// are names like any other. There are no anchors, aliases, merge keys or tags and no
// second document; a doubled or unknown key is an error. The file is at most 2 MB
// and 64 levels deep unless the caller raises the limits. Quantities have a unit:
// 34 ft, 10.4 m, 15 A, 18 W, 20.3 in3. Yes and no are written so (or true, false).
// What is not known is left out. Only the keys marked * must be there.
//
//	format:    *  1, the version of this format, before all else
//	title:        the title of the job
//	rules:     *  the region whose rules hold, such as us-2023
//	supply:       split-phase, wye, single-phase, or a system of the region by its
//	              name there; left out, the one usual in the region
//	installed:    the year of an existing installation
//
//	kinds:        device kinds that are not built in
//	  name:      *  any that is not built in
//	  terminals: *  list of names, without dots
//	  positions: *  list; the first is the one at rest
//	    name:    *  of the position
//	    joins:      groups of terminals that are joined: [[common, low]]
//	  inside:       loads inside the device: a pilot lamp, electronics
//	    name:    *  what it is
//	    from:    *  the terminal it is on
//	    to:      *  and the other
//	  electronic:   yes if its contact is made by electronics
//	  dimmer:       yes if it dims
//
//	feeds:        the circuits; terminals hot (hot 1, hot 2 with two poles),
//	              neutral and ground
//	  name:      *  the circuit
//	  box:       *  the box with its breaker
//	  breaker:   *  its rating
//	  volts:        nominal voltage, if not what the supply gives
//	  poles:        1, 2 or 3
//	  lines:        the lines its poles are on: [A], [A, B]
//	  handle tie:   the tie that joins its handle to those of other feeds of the box
//	  protection:   what the whole circuit has: arc-fault, ground-fault or
//	                residual-current, as a list
//
//	boxes:        enclosures
//	  name:      *  of the box, any but unknown
//	  kind:      *  device, ceiling, junction or panel
//	  gangs:        how many devices wide it is
//	  type:         a box that the region's table knows; or
//	  volume:       the volume marked on it, which goes before that of the type; or
//	  sections:     the boxes that are ganged together, each with
//	    type:       as above
//	    volume:     as above
//	    count:      how many alike
//	  material:     metal or plastic; the grounding screw of a metal box is the
//	                terminal ground of device box
//	  clamps:       internal, external or none
//	  additions:    what adds room, each with
//	    kind:    *  extension ring, plaster ring or domed cover
//	    volume:     marked on it
//	    type:       of the box that an extension ring is made from
//	  barriers:     what divides the box; write each side as a box of its own
//	    kind:    *  metal or nonmetallic
//	    volume:     marked on it
//	  share:        this side's share of the divided box: 1 of 2
//	  at:           where it is, along, across and up: [12 ft, 0 ft, 4 ft]
//	  location:     where it is, in words
//	  room:         the kind of room it is in, if the region has a rule on that kind
//	  notice:       yes if a notice on it tells where two systems of colours meet
//	  nail side:    left or right: on which side of it, as one faces it, the framing
//	                is to which it is fixed; it and the door go with device and
//	                junction boxes
//	  door:         hinge side or latch side: on which side of a door it stands
//	  door opens:   toward or away: into the room from which the box is worked, or
//	                into the other
//
//	lights:       lights, fans, whatever uses power; terminals hot, neutral, ground
//	  name:      *  of the light
//	  box:       *  the box it is on
//	  load:         its power
//	  volts:        what it is made for
//	  kind:         resistive, electronic, transformer or motor; left out: not known
//	  power factor: of one that is not resistive, at most 1: 0.9
//	  leakage:      what an electronic one lets pass while it is off: 30 uA
//	  turn on:      the voltage at which an electronic one starts: 60 V
//	  on:           the device of that box into which it is plugged, and
//	  ends:         the two terminals of that device: [hot 1, neutral 1]
//	  canopy:       yes if a domed canopy holds its leads
//	  leads:        the size of its leads where they end in the box: 18 AWG
//
//	runs:         ways along which a cable could go
//	  from:      *  box
//	  to:        *  box
//	  length:    *  of the run
//	  cable:        the only type of cable that fits
//	  existing:     yes if that cable lies there already
//	  raceway:      yes if it is a raceway for loose conductors
//	  if needed:    yes if it is to be offered only where no plan does without it
//	  bored:        the holes in the framing that its cables run through, each as the
//	                distance from the hole to the nearest edge of the member:
//	                [1.5 in, 1 in]
//	  notches:      how many notches in an edge they run through
//
//	controls:     which places switch which lights
//	  name:      *  of the control; a device of that name stands for it in each place
//	  lights:    *  list of lights
//	  places:    *  list of boxes
//	  feed:         the feed it is on, where there are several
//	  schemes:      how it may be wired: chain, joined commons; left out, chain
//
//	needs:        what a box must have besides
//	  box:       *  the box
//	  needs:     *  power, neutral or spare
//	  feed:         the feed it must come from
//	  for:          what for, in words
//
//	exemptions:   boxes whose switches need no neutral
//	  box:       *  the box
//	  by:        *  the exemption of the region that holds there
//
//	stairs:       stairways, for the rules on their light
//	  name:      *  of the stair
//	  risers:    *  how many it has
//	  levels:    *  list of boxes, one at each level that it joins
//	  lights:       list of its lights
//
//	stock:        the cables to plan with; left out, those of the region
//	  cable:     *  type
//	  weight:       what a foot of it costs, a number, for all of them or none
//
//	cables:       cables as found or as planned
//	  name:      *  of the cable
//	  type:      *  14/3, 12/2 metal-clad, 14/2 without ground, 1.5 mm2 twin and earth,
//	                loose 14 AWG 90 C black white green
//	  from:      *  box
//	  to:        *  box, or the word unknown
//	  length:       of the cable
//	  installed:    the year, if not the job's
//	  bored:        the holes that it runs through, as under runs; a hole that several
//	                cables share stands at one of them
//	  notches:      how many notches in an edge it runs through
//	  from end:     what was measured where it comes into the box it begins at
//	    support:    straight from the box to its first support: 8 in
//	    along:      the same along its sheath
//	    sheath:     how far its sheath reaches into the box: 0.5 in, or 0 in
//	    free:       how far its conductors reach from the end of sheath or raceway
//	  to end:       the same where it ends
//	  supports apart: the largest distance between two of its supports
//	  conductors:   the colours as found, all of them, in the order of the type
//
//	devices:      switches, receptacles, controls
//	  name:      *  unique in the box
//	  box:       *  the box it is in
//	  kind:      *  single-pole, double-pole, three-way, four-way, receptacle, split
//	                receptacle, two switches on one yoke, pilot-lit single-pole,
//	                locator-lit single-pole, electronic switch, electronic three-way,
//	                three-way dimmer, the region's own word, or one of kinds
//	  yoke:         the strap it shares with another device
//	  gangs:        how many gangs wide it is
//	  gang:         where in its box it stands, of a wide one its first: 1 is the leftmost
//	                gang, as one faces the box in the room
//	  depth:        from strap to back
//	  aluminum:     yes if it is marked for aluminum conductors
//	  rating:       the current that it is marked for: 15 A
//	  least load:   what a dimmer or electronic switch needs: 10 W
//	  most load:    what it can carry: 150 W
//	  protection:   what it has in itself, for what it feeds too, as under feeds; of
//	                arc-fault, that it may stand there is for the inspector
//
//	splices:      what is joined in a box
//	  box:       *  the box
//	  join:      *  wires and terminals: [C3.white, C4.white, aisle.common]
//
//	landings:     which wire is on which terminal
//	  box:       *  the box
//	  device:    *  a device, light or feed of the box, or the word box
//	  terminal:  *  of the device
//	  wire:      *  CABLE.COLOUR
//	  push in:      yes if a spring behind the device holds it, and not its screw
//
//	caps:         ends that are capped, each with box * and wire *
//	marks:        re-marked ends, each with box *, wire * and as *, a colour
//	tags:         tagged ends, each with box *, wire * and says *, the text
//	ties:         what touches and should not, each with box * and join *, two
//	opens:        wires broken along their run: [C4.red]
//
// A wire is CABLE.COLOUR, C4.red or C4.white/red; in a splice or tie, DEVICE.TERMINAL
// is a pigtail to a screw or the lead of a light. The last dot divides the two. A
// neutral that circuits share is a splice in the panel with the neutral of each feed.
//
// A file with nothing below lights but runs, controls, needs, exemptions, stairs and
// stock is an intent; any of cables, devices, splices, landings, caps, marks, tags,
// ties and opens makes it a wiring too, and it is checked as one.
//
// The file testdata/canonical.yaml has every key in use.
//
// # Cost
//
// Time and memory are linear: a job of 1,000 boxes in a row, wired (0.6 MB), is read
// in about 0.1 s; one of 100,000 (62 MB, with larger limits) in about 13 s of one
// processor and at most 60 bytes of memory for each byte of text.
//
// # Order
//
// All lists of a [File] are in file order. Problems are in file order. Marshal
// writes lists in their order and keys in the order above.
//
// # What it does not do
//
// It judges nothing: a file may describe a wiring that is wrong in every way a real
// one can be. Package check judges. The format is experimental until a release
// freezes it; its version stands in the first line.
package job
