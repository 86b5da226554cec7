package identify_test

import "example.com/switchleg/switchnet/identify"

// threeControls are three lights, each with a switch of its own, in the places given.
func threeControls(stair, porch, loft string) []identify.Control {
	return []identify.Control{
		{Name: "loft", Lights: []string{"bulb"}, Places: []string{loft}},
		{Name: "porch", Lights: []string{"flood"}, Places: []string{porch}},
		{Name: "stair", Lights: []string{"lamp"}, Places: []string{stair}},
	}
}

// onOwnFeeds are controls each on the feed of its name.
func onOwnFeeds(list []identify.Control) []identify.Control {
	for i := range list {
		list[i].Feed = list[i].Name
	}
	return list
}

// neutrals are the rows with three of a sort: circuits, lines, neutrals.
var neutrals = []row{
	{"three circuits of three lines on one neutral", "a wye: the neutral carries what is left of three", `
seen
feed stair A
feed porch B
feed loft C
open s1
light lamp ceiling
light flood eave
light bulb rafter
switch stair s1 single-pole
switch porch s1 single-pole
switch loft s1 single-pole
cable F 14/4 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
cable N 14/2 s1 rafter
in panel: F.black stair.hot
in panel: F.red porch.hot
in panel: F.blue loft.hot
in panel: F.white stair.neutral
in s1: F.black stair.line
in s1: F.red porch.line
in s1: F.blue loft.line
in s1: L.black stair.load
in s1: M.black porch.load
in s1: N.black loft.load
in s1: F.white L.white M.white N.white
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: threeControls("s1", "s1", "s1")}, false},
	{"three neutrals of one circuit", "three cables between two boxes, each with what it takes there and back", `
seen
feed stair A
open s1 s2
light lamp ceiling
light flood eave
light bulb rafter
switch stair s2 single-pole
switch porch s1 single-pole
switch loft s1 single-pole
cable F 14/2 panel s1
cable T 14/2 s1 s2
cable U 14/2 s1 s2
cable V 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
cable N 14/2 s2 rafter
in s1: F.black T.black porch.line loft.line
in s1: U.black porch.load
in s1: V.black loft.load
in s1: F.white T.white U.white V.white
in s2: T.black stair.line
in s2: L.black stair.load
in s2: U.black M.black
in s2: V.black N.black
in s2: T.white L.white
in s2: U.white M.white
in s2: V.white N.white
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: threeControls("s2", "s1", "s1")}, true},
	{"three circuits in one box, neutrals joined", "somebody spliced the neutrals of three circuits together", `
seen
feed stair A
feed porch A
feed loft B
open s1
light lamp ceiling
light flood eave
light bulb rafter
switch stair s1 single-pole
switch porch s1 single-pole
switch loft s1 single-pole
cable F 14/2 panel s1
cable G 14/2 panel s1
cable H 14/2 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
cable N 14/2 s1 rafter
in s1: F.black stair.line
in s1: L.black stair.load
in s1: G.black porch.line
in s1: M.black porch.load
in s1: H.black loft.line
in s1: N.black loft.load
in s1: F.white G.white H.white L.white M.white N.white
`, identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: onOwnFeeds(threeControls("s1", "s1", "s1"))}, false},
}
