package identify_test

import (
	"slices"

	"example.com/switchleg/switchnet/identify"
)

// A row is a job as it really is, written out by hand, each for a row of the catalogue
// of ways in which lights are switched from several places.
type row struct {
	name string
	why  string
	job  string
	opt  identify.Options
	// sheaths says that cables between open boxes were seen to be one.
	sheaths bool
}

// rows are all of them.
var rows = slices.Concat(oneCircuit, severalLights, neutrals)

// Lines of a job: "feed NAME LINE", "seen", "box NAME" for a closed one without a light, "open NAME...",
// "light NAME BOX", "switch NAME BOX [KIND]", "cable NAME TYPE FROM TO", and
// "in BOX: JOINT JOINT ...", which joins wires and terminals.
var oneCircuit = []row{
	{"1 feed-S1-S2-light", "neutral everywhere", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable L 14/2 s2 ceiling
in s1: F.black stair.common
in s1: F.white T.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: T.white L.white
in s2: L.black stair.common
`, identify.Options{Unusual: 1}, false},
	{"3 feed and light at S1, S2 dead end", "white carries the hot", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable L 14/2 s1 ceiling
in s1: F.black T.white
in s1: F.white L.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s1: L.black stair.common
in s2: T.white stair.common
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
`, identify.Options{Unusual: 1}, false},
	{"4 feed at light, light-S1-S2", "two-wire loop, then three-wire", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel ceiling
cable S 14/2 ceiling s1
cable T 14/3 s1 s2
in ceiling: F.black S.white
in s1: S.white stair.common
in s1: S.black T.black
in s1: T.white stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.common
in s2: T.white stair.traveler+1
in s2: T.red stair.traveler+2
in ceiling: S.black lamp.hot
in ceiling: F.white lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"5 feed at light, two dead ends", "travelers joined in the fixture box", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel ceiling
cable A 14/3 ceiling s1
cable B 14/3 ceiling s2
in ceiling: F.black A.white
in ceiling: F.white lamp.neutral
in ceiling: A.black B.white
in ceiling: A.red B.red
in ceiling: B.black lamp.hot
in s1: A.white stair.common
in s1: A.black stair.traveler+1
in s1: A.red stair.traveler+2
in s2: B.black stair.common
in s2: B.white stair.traveler+1
in s2: B.red stair.traveler+2
`, identify.Options{Unusual: 1}, false},
	{"6 feed-S1-light-S2", "travelers pass the light", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable A 14/3 s1 ceiling
cable B 14/3 ceiling s2
in s1: F.black stair.common
in s1: F.white A.white
in s1: A.black stair.traveler+1
in s1: A.red stair.traveler+2
in ceiling: A.white lamp.neutral
in ceiling: A.black B.white
in ceiling: A.red B.red
in ceiling: B.black lamp.hot
in s2: B.black stair.common
in s2: B.white stair.traveler+1
in s2: B.red stair.traveler+2
`, identify.Options{Unusual: 1}, false},
	{"2 three places", "a four-way between", `
open s1 s2 s3
light lamp ceiling
switch stair s1
switch stair s2 four-way
switch stair s3
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable U 14/3 s2 s3
cable L 14/2 s3 ceiling
in s1: F.black stair.common
in s1: F.white T.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.pair+1+first
in s2: T.red stair.pair+1+second
in s2: U.black stair.pair+2+first
in s2: U.red stair.pair+2+second
in s2: T.white U.white
in s3: U.black stair.traveler+1
in s3: U.red stair.traveler+2
in s3: U.white L.white
in s3: L.black stair.common
`, identify.Options{Unusual: -1}, false},
	{"8 feed in the centre, ends dead", "the four-way's box has the feed", `
open s1 s2 s3
light lamp ceiling
switch stair s1
switch stair s2 four-way
switch stair s3
cable F 14/2 panel s2
cable T 14/3 s1 s2
cable U 14/3 s2 s3
cable L 14/2 s2 ceiling
in s2: F.black T.white
in s2: F.white L.white
in s2: U.black L.black
in s2: T.black stair.pair+1+first
in s2: T.red stair.pair+1+second
in s2: U.white stair.pair+2+first
in s2: U.red stair.pair+2+second
in s1: T.white stair.common
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s3: U.black stair.common
in s3: U.white stair.traveler+1
in s3: U.red stair.traveler+2
`, identify.Options{Unusual: -1}, false},
	{"13 joined commons", "lawful and ordinary in several regions", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/4 s1 s2
cable L 14/2 s2 ceiling
in s1: F.black T.black stair.traveler+1
in s1: F.white T.white
in s1: T.red stair.traveler+2
in s1: T.blue stair.common
in s2: T.black stair.traveler+1
in s2: T.red L.black stair.traveler+2
in s2: T.blue stair.common
in s2: T.white L.white
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain, identify.JoinedCommons}}, true},
	{"14 two wires, neutral at the light", "an old stair; the neutral comes another way", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F loose+14+AWG+90+C+black panel s1
cable T 14/2+without+ground s1 s2
cable L loose+14+AWG+90+C+red s2 ceiling
cable N loose+14+AWG+90+C+white panel ceiling
in s1: F.black stair.common
in s1: T.black stair.traveler+1
in s1: T.white stair.traveler+2
in s2: T.black stair.traveler+1
in s2: T.white stair.traveler+2
in s2: L.red stair.common
in ceiling: L.red lamp.hot
in ceiling: N.white lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"19 hot and neutral on the throws", "unlawful, and obeys", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable L 14/2 s2 ceiling
in s1: F.black T.black stair.traveler+1
in s1: F.white T.white stair.traveler+2
in s1: T.red stair.common
in s2: T.black stair.traveler+1
in s2: T.white stair.traveler+2
in s2: L.black stair.common
in s2: T.red L.white
in ceiling: L.black lamp.hot
in ceiling: L.white lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"switched neutral", "unlawful, and obeys", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable L 14/2 s2 ceiling
in s1: F.white stair.common
in s1: F.black T.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: T.white L.black
in s2: L.white stair.common
in ceiling: L.black lamp.hot
in ceiling: L.white lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"20 one place left", "the other switch is bypassed, its conductors capped", `
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable L 14/2 s2 ceiling
in s1: F.black stair.common
in s1: F.white T.white
in s1: T.black stair.traveler+1
in s2: T.black L.black
in s2: T.white L.white
`, identify.Options{Unusual: 1}, false},
}

// narrow are priors of a job in which every cable and conductor has something to do in it.
func narrow() *identify.Priors {
	p := identify.DefaultPriors()
	p.Onward, p.Abandoned, p.NeutralOn, p.HotOn, p.Borrowed, p.OtherWay = 0, 0, 0, 0, 0, 0
	return &p
}
