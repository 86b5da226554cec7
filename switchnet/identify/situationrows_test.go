package identify_test

import (
	"slices"

	"example.com/switchleg/switchnet/identify"
)

// situations are open boxes as people meet them, beyond the rows of the catalogue: in the
// boat shed and in the caretaker's cottage.
var situations = slices.Concat(oneFeed, severalFeeds)

// oneFeed are those of one circuit.
var oneFeed = []row{
	{"power at the far of two lights", "between the lights go hot, leg and neutral; the switch has a loop", `
open kitchen-door
light near-light near
light far-light far
switch kitchen kitchen-door single-pole
cable F 14/2 panel far
cable K 14/3 far near
cable S 14/2 near kitchen-door
in far: F.black K.black
in far: F.white K.white far-light.neutral
in far: K.red far-light.hot
in near: K.black S.white
in near: K.white near-light.neutral
in near: K.red S.black near-light.hot
in kitchen-door: S.white kitchen.line
in kitchen-door: S.black kitchen.load
`, identify.Options{Unusual: 1, Controls: []identify.Control{{Name: "kitchen", Lights: []string{"near-light", "far-light"}, Places: []string{"kitchen-door"}}}}, false},
	{"a loop with a capped neutral", "a three-wire to the switch whose white waits for a control", `
open kitchen-door
light lamp ceiling
switch kitchen kitchen-door single-pole
cable F 14/2 panel ceiling
cable S 14/3 ceiling kitchen-door
in ceiling: F.black S.black
in ceiling: F.white S.white lamp.neutral
in ceiling: S.red lamp.hot
in kitchen-door: S.black kitchen.line
in kitchen-door: S.red kitchen.load
`, identify.Options{Unusual: 2, Controls: []identify.Control{{Name: "kitchen", Lights: []string{"lamp"}, Places: []string{"kitchen-door"}}}}, false},
	{"feed and light at the four-way", "both ends dead, the leg stays in the middle", `
open foot head landing
light lamp ceiling
switch stair foot
switch stair landing four-way
switch stair head
cable F 14/2 panel landing
cable A 14/3 landing foot
cable B 14/3 landing head
cable L 14/2 landing ceiling
in landing: F.black A.white
in landing: F.white L.white
in landing: A.black stair.pair+1+first
in landing: A.red stair.pair+1+second
in landing: B.black stair.pair+2+first
in landing: B.red stair.pair+2+second
in landing: B.white L.black
in foot: A.white stair.common
in foot: A.black stair.traveler+1
in foot: A.red stair.traveler+2
in head: B.white stair.common
in head: B.black stair.traveler+1
in head: B.red stair.traveler+2
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain, identify.OnePlace}}, true},
	{"power beyond the chain, commons joined", "two buildings on hot, leg, link and neutral", `
open shed-door yard-door
light lamp yard
switch stair shed-door
switch stair yard-door
cable F 14/2 panel shed-door
cable T 14/4 shed-door yard-door
cable L 14/2 yard-door yard
in shed-door: F.black T.black stair.traveler+1
in shed-door: F.white T.white
in shed-door: T.red stair.traveler+2
in shed-door: T.blue stair.common
in yard-door: T.black stair.traveler+2
in yard-door: T.red L.black stair.traveler+1
in yard-door: T.blue stair.common
in yard-door: T.white L.white
`, identify.Options{Unusual: 1}, true},
	{"one wire from each box to the lamp", "hot and neutral on the throws of both, each from its own side", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/2 foot head
cable A loose+14+AWG+90+C+black foot ceiling
cable B loose+14+AWG+90+C+black head ceiling
in foot: F.black T.black stair.traveler+1
in foot: F.white T.white stair.traveler+2
in foot: A.black stair.common
in head: T.black stair.traveler+1
in head: T.white stair.traveler+2
in head: B.black stair.common
in ceiling: A.black lamp.hot
in ceiling: B.black lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"old colours", "red and black twins, a three-core of red, yellow and blue", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 1.5+mm2+twin+and+earth,+old+colours panel foot
cable T 1.5+mm2+three-core+and+earth,+old+colours foot head
cable L 1.5+mm2+twin+and+earth,+old+colours head ceiling
in panel: F.red stair.hot
in panel: F.black stair.neutral
in foot: F.red stair.common
in foot: F.black T.blue
in foot: T.red stair.traveler+1
in foot: T.yellow stair.traveler+2
in head: T.red stair.traveler+1
in head: T.yellow stair.traveler+2
in head: T.blue L.black
in head: L.red stair.common
in ceiling: L.red lamp.hot
in ceiling: L.black lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"pairs in two cables", "the travelers in one two-wire, the neutral with a spare in the other", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/2 foot head
cable U 14/2 foot head
cable L 14/2 head ceiling
in foot: F.black stair.common
in foot: F.white U.white
in foot: T.black stair.traveler+1
in foot: T.white stair.traveler+2
in head: T.black stair.traveler+1
in head: T.white stair.traveler+2
in head: U.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain, identify.OnePlace}}, true},
	{"one pair split over two cables", "a traveler in each of two two-wires", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/2 foot head
cable U 14/2 foot head
cable L 14/2 head ceiling
in foot: F.black stair.common
in foot: F.white T.white
in foot: T.black stair.traveler+1
in foot: U.black stair.traveler+2
in head: T.black stair.traveler+1
in head: U.black stair.traveler+2
in head: T.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain, identify.OnePlace}}, true},
	{"a spare in a four-wire", "a conductor capped at both ends", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/4 foot head
cable L 14/2 head ceiling
in foot: F.black stair.common
in foot: F.white T.white
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: T.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 1}, true},
	{"a splice that was boxed over", "the cable from box to box has a joint in a box that the job lists and nobody opened", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
box buried
cable F 14/2 panel foot
cable A 14/3 foot buried
cable B 14/3 buried head
cable L 14/2 head ceiling
in foot: F.black stair.common
in foot: F.white A.white
in foot: A.black stair.traveler+1
in foot: A.red stair.traveler+2
in buried: A.black B.red
in buried: A.red B.black
in buried: A.white B.white
in head: B.black stair.traveler+1
in head: B.red stair.traveler+2
in head: B.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 1}, false},
	{"an outlet between, half switched", "hot, leg and neutral go on to it from the second box", `
open foot head
light lamp ceiling
light outlet skirting
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/4 foot head
cable R 14/3 head skirting
in foot: F.black stair.common T.blue
in foot: F.white T.white
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: T.blue R.black
in head: T.white R.white
in head: R.red stair.common
in skirting: R.red outlet.hot
in skirting: R.white outlet.neutral
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Controls: []identify.Control{{Name: "stair", Lights: []string{"outlet"}, Places: []string{"foot", "head"}}}}, true},
	{"three places, the feed and the light at one end", "hot comes, leg goes back along the chain in a four-wire", `
open foot head loft
light lamp ceiling
switch stair foot
switch stair head four-way
switch stair loft
cable F 14/2 panel foot
cable L 14/2 foot ceiling
cable T 14/4 foot head
cable U 14/3 head loft
in foot: F.black stair.common
in foot: F.white L.white T.white
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in foot: T.blue L.black
in head: T.black stair.pair+1+first
in head: T.red stair.pair+1+second
in head: T.blue U.white
in head: U.black stair.pair+2+first
in head: U.red stair.pair+2+second
in loft: U.white stair.common
in loft: U.black stair.traveler+1
in loft: U.red stair.traveler+2
`, identify.Options{Unusual: -1}, true},
	{"black wires in pipe", "six loose conductors of one colour", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F loose+14+AWG+90+C+black panel foot
cable T loose+14+AWG+90+C+black+brown foot head
cable L loose+14+AWG+90+C+red head ceiling
cable N loose+14+AWG+90+C+white panel ceiling
in foot: F.black stair.common
in foot: T.black stair.traveler+1
in foot: T.brown stair.traveler+2
in head: T.black stair.traveler+1
in head: T.brown stair.traveler+2
in head: L.red stair.common
in ceiling: L.red lamp.hot
in ceiling: N.white lamp.neutral
`, identify.Options{Unusual: 1}, false},
	{"a hot and a neutral of its own at each end", "two cables from the panel, one wire from each box to the lamp", `
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable G 14/2 panel head
cable A loose+14+AWG+90+C+black foot ceiling
cable B loose+14+AWG+90+C+black head ceiling
in panel: F.black G.black stair.hot
in panel: F.white G.white stair.neutral
in foot: F.black stair.traveler+1
in foot: F.white stair.traveler+2
in foot: A.black stair.common
in head: G.black stair.traveler+1
in head: G.white stair.traveler+2
in head: B.black stair.common
in ceiling: A.black lamp.hot
in ceiling: B.black lamp.neutral
`, identify.Options{Unusual: 2}, false},
	{"a conductor cut in the wall", "a spare that somebody drove a nail through", `
cut T.blue
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable T 14/4 foot head
cable L 14/2 head ceiling
in foot: F.black stair.common
in foot: F.white T.white
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: T.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 1}, true},
}
