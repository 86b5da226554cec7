// Package rules reads rule files: what the code of a region and edition says
// about conductors, boxes and the wiring of switched lights, as data. It is
// the only owner of that format.
//
// The calls in order of use:
//
//	for _, info := range rules.Regions() { ... }                // what there is
//	region, err := rules.Load("us-2023")                        // one of them
//	over, err := rules.OverlayFile(os.DirFS("."), "town.yaml")  // local amendments, own stock and prices
//	region, err = rules.Load("us-2023", over)
//	result, err := boxfill.Fill(&region.Box, contents)
//	sizer, err := conductor.NewSizer(region.Conductor)
//	rule, ok := region.Wiring.Rule(rules.NeutralNotSwitched)    // with its section, for a finding
//
// Local amendments prevail over every file, and none is a substitute for the
// code or for licensed practice: [Info.Cautions] says so and belongs wherever a
// figure is shown.
//
// What the package does not do: it decides nothing. It has no figure of its
// own, fills no gap from another region and has no default region. A rule that
// a file lacks is absent from the tables, and the packages that need it refuse
// by name.
//
// # Rows and their sources
//
// Every row says where it stands: section, edition (that of the file unless
// the row states its own) and confidence: high and medium figures were checked,
// low ones are recalled or seen once. In the file the rows of one source form
// a named group, and the names are what extending files and overlays refer to.
//
// # The file
//
// YAML, read by the strict subset of this module: no anchors, tags or guessed
// types; unknown and doubled keys are errors. Every quantity carries its unit.
// us-2023.yaml shows all of it; the keys are
//
//	format: 1
//	id, title, code, edition, source, cautions     the heading; all needed
//	extends: us-2023                               see below
//	conductors:
//	  sizes: {GROUP: {areas: {14 AWG: 4110 cmil}, metric sizes: [1.5 mm2]}}
//	  least size: {size}
//	  methods: {NAME: {words}}
//	  ampacities: {GROUP: {materials, rating, method, currents: {14 AWG: 15 A}}}
//	  ambient: {base, factors: {GROUP: {rating, up to: {35 C: 0.91}}}}
//	  bundling: {GROUP: {factors: {4 to 6: 0.8, 41 or more: 0.35}}}
//	  bundling exempt: {length}
//	  terminations: {default, up to rating, up to size, above}
//	  nonmetallic cable: {limit, start, together above, carrying at least}
//	  continuous load: {lasts (optional), conductor: {factor}, overcurrent: {factor}}
//	  protection at ampacity: {}
//	  standard ratings: {GROUP: {kind, ratings: [15 A]}}
//	  minimum rating: {rating, suggested, with receptacles}
//	  next size up: {up to, not for several receptacles}
//	  small conductors: {GROUP: {materials, ratings: {14 AWG: 15 A}, continuous: {16 AWG: 8 A}}}
//	  grounding: {GROUP: {materials, sizes: {20 A: 12 AWG}}}
//	  grounding increase: {basis, baseline, never above the circuit}
//	  resistances: {GROUP: {material, stranding, at, per length: {14 AWG: 3.07 ohm/kft}}}
//	  impedances: {GROUP: {material, raceway, 'resistance, reactance, effective': {14 AWG: [3.1 ohm/kft, ...]}}}
//	  drop constants: {GROUP: {constants: {copper: 12900 ohm/kft}}}
//	  drop rates: {GROUP: {rates: {1.5 mm2: 29 mV/A/m}}}
//	  drop method, drop use
//	  drop limits: {USE: {limit, force, long run, each meter beyond, at most}}
//	  fault loop: {voltage factor, resistance rise, curves: {B: {multiple}}}
//	  protection: {GROUP: {kind, demand, outlets, breakers up to, volts up to, since, note, locations: [bedroom]}}
//	  refused: {RULE: {why}}                       what there is no sure figure for
//	  elsewhere: {RULE: [us-2023]}                 regions that have what this one lacks
//	box fill:
//	  column                                       inch or metric: which one rules
//	  allowances: {GROUP: {volumes: {14 AWG: [2 in3, 32.8 mL]}}}
//	  largest: {size, beyond}
//	  conductors: {spliced, landed, passing through, looped, pigtail: COUNT, loop from: {length}}
//	  fixture wires: {counted: COUNT, omitted: {smaller than, at most, under a canopy only, grounding too}}
//	  grounds: {first: {count, weight}, beyond: {weight}, insulated: COUNT, isolated: COUNT}
//	  clamps: {internal: COUNT, external: COUNT}
//	  fittings: {stud: COUNT}
//	  devices: {yoke: COUNT, wide: COUNT, wide over: {length}, deep over: {length}, each centimeter of depth: {volume}}
//	  terminal blocks: COUNT
//	  connectors: COUNT
//	  boxes: {GROUP: {shape, gangs, measured by the gang, refused, types: {NAME: {width, second, depth, volume}}}}
//	  marked: {ganged boxes add up: {}}
//	  additions: {rings by type: {}}
//	  barriers: {metal: [0.5 in3], nonmetallic: [1 in3]}
//	  refused, elsewhere                           as above, by item
//	wiring:
//	  terms: {single-pole: {word, terminals}, three-way, four-way, traveler, common, switch leg, ground, ends of a chain, travelers}
//	  systems: {NAME: {lines, volts, between lines, hertz}}
//	  colours: {schemes: {NAME: {from, until, palettes: {line: {colours}}}}, never line: {colours}}
//	  neutral at switches: {says, since, until, note, places: {NAME: {since, until, rooms: [bedroom]}}, outside: [ROOM], exemptions: {WORD: {since, until}}}
//	  rules: {RULE: {says, count, length, size, since, until, takes effect, note}}
//	stock:
//	  cables: {14/2: {price: 0.62 per ft, labor}}
//	  boxes: {NAME: {type, marked, count, gangs, clamps, price, labor}}
//	  additions: {NAME: {kind, type, marked, price, labor}}
//	  supplies: {NAME: {price, labor}}            anything else by the piece, as a take-off names it
//	refused: {NAME: why}                           wiring rules without a sure figure
//
// Each group, each rule and COUNT, which is {weight, per, of}, also has section
// and confidence, and may have edition; volumes may have metric section and
// metric confidence. Words in capitals are chosen by the writer, or come from
// a closed list that the error message names.
//
// # Extending a region
//
// A file with 'extends' states the differences from another region that
// extends nothing itself. Maps are joined key by key, anything else replaces
// what the other has, and 'NAME: left out' takes an entry out. Rows that are
// taken over have the edition of the extending file. Its heading is its own.
//
// # Overlays
//
// An [Overlay] is laid upon a region in the same way. Its heading is
//
//	format: 1
//	name: Harbor Township 2024
//	for: [us-2023]                  optional: the regions it is meant for
//	section: ordinance 12-4         optional: what its rows cite; else the name
//	edition, confidence, cautions   optional; cautions add to those of the region
//
// What an overlay changes cites the overlay. It may amend any group by name and
// add stock freely; a group of its own making needs a section, so that a
// misspelt name is an error and not a lost amendment.
package rules
