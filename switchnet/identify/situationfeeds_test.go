package identify_test

import "example.com/switchleg/switchnet/identify"

// severalFeeds are the situations of several circuits.
var severalFeeds = []row{
	{"a chain and another circuit in one box", "the porch on its own circuit in the first box of the stair", `
seen
feed porch B
feed stair A
open foot head
light lamp ceiling
light flood eave
switch stair foot
switch porch foot single-pole
switch stair head
cable F 14/2 panel foot
cable G 14/2 panel foot
cable M 14/2 foot eave
cable T 14/3 foot head
cable L 14/2 head ceiling
in panel: F.black stair.hot
in panel: F.white stair.neutral
in panel: G.black porch.hot
in panel: G.white porch.neutral
in foot: F.black stair.common
in foot: F.white T.white
in foot: G.black porch.line
in foot: G.white M.white
in foot: M.black porch.load
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: T.white L.white
in head: L.black stair.common
`, identify.Options{Unusual: 1, Controls: []identify.Control{{Name: "porch", Lights: []string{"flood"}, Places: []string{"foot"}}, {Name: "stair", Lights: []string{"lamp"}, Places: []string{"foot", "head"}}}}, false},
	{"neutral borrowed at the light", "the chain of the lower circuit, the neutral of the upper one, spliced in the ceiling", `
feed lower A
feed upper B
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable G 14/2 panel ceiling
cable T 14/3 foot head
cable L 14/2 head ceiling
in panel: F.black lower.hot
in panel: F.white lower.neutral
in panel: G.black upper.hot
in panel: G.white upper.neutral
in foot: F.black stair.common
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: L.black stair.common
in ceiling: L.black lamp.hot
in ceiling: G.white lamp.neutral
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}}, true},
	{"two neutrals borrowed crosswise", "each circuit has the neutral of the other", `
seen
feed porch B
feed stair A
open foot
light lamp ceiling
light flood eave
switch stair foot single-pole
switch porch foot single-pole
cable F 14/2 panel foot
cable G 14/2 panel foot
cable L 14/2 foot ceiling
cable M 14/2 foot eave
in panel: F.black stair.hot
in panel: F.white stair.neutral
in panel: G.black porch.hot
in panel: G.white porch.neutral
in foot: F.black stair.line
in foot: L.black stair.load
in foot: F.white M.white
in foot: G.black porch.line
in foot: M.black porch.load
in foot: G.white L.white
`, identify.Options{Unusual: 2, Controls: []identify.Control{{Name: "porch", Lights: []string{"flood"}, Places: []string{"foot"}}, {Name: "stair", Lights: []string{"lamp"}, Places: []string{"foot"}}}}, false},
	{"neutrals of two circuits joined at the lights", "both lights in one box that nobody opened, their neutrals under one connector", `
seen
feed porch B
feed stair A
open foot
light lamp ceiling
light flood ceiling
switch stair foot single-pole
switch porch foot single-pole
cable F 14/2 panel foot
cable G 14/2 panel foot
cable L 14/2 foot ceiling
cable M 14/2 foot ceiling
in panel: F.black stair.hot
in panel: F.white stair.neutral
in panel: G.black porch.hot
in panel: G.white porch.neutral
in foot: F.black stair.line
in foot: G.black porch.line
in foot: L.black stair.load
in foot: F.white L.white
in foot: M.black porch.load
in foot: G.white M.white
in ceiling: L.black lamp.hot
in ceiling: M.black flood.hot
in ceiling: L.white M.white lamp.neutral flood.neutral
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Controls: []identify.Control{{Name: "porch", Lights: []string{"flood"}, Places: []string{"foot"}}, {Name: "stair", Lights: []string{"lamp"}, Places: []string{"foot"}}}}, true},
	{"the neutral of another circuit joined in at the light", "the upper circuit comes through the box of the stair light, and somebody spliced all whites there", `
feed lower A
feed upper B
open foot head
light lamp ceiling
switch stair foot
switch stair head
cable F 14/2 panel foot
cable G 14/2 panel ceiling
cable T 14/3 foot head
cable L 14/2 head ceiling
in panel: F.black lower.hot
in panel: F.white lower.neutral
in panel: G.black upper.hot
in panel: G.white upper.neutral
in foot: F.black stair.common
in foot: F.white T.white
in foot: T.black stair.traveler+1
in foot: T.red stair.traveler+2
in head: T.black stair.traveler+1
in head: T.red stair.traveler+2
in head: T.white L.white
in head: L.black stair.common
in ceiling: L.black lamp.hot
in ceiling: G.white L.white lamp.neutral
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}}, true},
}
