package identify_test

import "example.com/switchleg/switchnet/identify"

// severalLights are the rows with more than one light, circuit or control.
var severalLights = []row{
	{"two circuits in one box", "each light on its own feed, lines apart", `
feed stair A
feed porch B
open s1
light lamp ceiling
light flood eave
switch stair s1 single-pole
switch porch s1 single-pole
cable F 14/2 panel s1
cable G 14/2 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
in s1: F.black stair.line
in s1: L.black stair.load
in s1: F.white L.white
in s1: G.black porch.line
in s1: M.black porch.load
in s1: G.white M.white
`, identify.Options{Unusual: -1, Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, false},
	{"borrowed neutral", "the hot of one circuit and the neutral of the other", `
feed lower A
feed upper A
open s1 s2
light lamp ceiling
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable G 14/2 panel s2
cable T 14/3 s1 s2
cable L 14/2 s2 ceiling
in s1: F.black stair.common
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: L.black stair.common
in s2: L.white G.white
in ceiling: L.black lamp.hot
in ceiling: L.white lamp.neutral
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}}, false},
	{"10 lights at both ends", "the leg goes back along the chain", `
open s1 s2
light lamp ceiling
light flood eave
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/4 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s1 eave
in s1: F.black stair.common
in s1: F.white T.white M.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s1: T.blue M.black
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: T.blue L.black stair.common
in s2: T.white L.white
`, identify.Options{Unusual: -1}, true},
	{"15 two chains between the same boxes", "one circuit, two cables, travelers of each in one, one white spare", `
feed stair A
open s1 s2
light lamp ceiling
light flood eave
switch porch s1
switch porch s2
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable U 14/3 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
in s1: F.black stair.common porch.common
in s1: F.white T.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s1: U.black porch.traveler+1
in s1: U.red porch.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: U.black porch.traveler+1
in s2: U.red porch.traveler+2
in s2: L.black stair.common
in s2: M.black porch.common
in s2: T.white L.white M.white
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1", "s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1", "s2"}}}}, true},
	{"16 chain with an outlet", "hot and neutral go on from the second box", `
open s1 s2
light lamp ceiling
light outlet skirting
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/4 s1 s2
cable L 14/2 s2 ceiling
cable R 14/2 s2 skirting
in s1: F.black stair.common T.blue
in s1: F.white T.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: T.white L.white R.white
in s2: L.black stair.common
in s2: T.blue R.black
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1", "s2"}}}}, true},
	{"15 one circuit, neutrals apart", "each chain in its cable with its own neutral, as far as the box of the lights", `
feed stair A
open s1 s2
light lamp ceiling
light flood eave
switch porch s1
switch porch s2
switch stair s1
switch stair s2
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable U 14/3 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
in s1: F.black stair.common porch.common
in s1: F.white T.white U.white
in s1: T.black stair.traveler+1
in s1: T.red stair.traveler+2
in s1: U.black porch.traveler+1
in s1: U.red porch.traveler+2
in s2: T.black stair.traveler+1
in s2: T.red stair.traveler+2
in s2: U.black porch.traveler+1
in s2: U.red porch.traveler+2
in s2: L.black stair.common
in s2: M.black porch.common
in s2: T.white L.white
in s2: U.white M.white
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1", "s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1", "s2"}}}}, true},
	{"one circuit in two cables, neutrals apart", "the hot of one light and the leg of another, each with its neutral", `
feed stair A
open s1 s2
light lamp ceiling
light flood eave
switch stair s2 single-pole
switch porch s1 single-pole
cable F 14/2 panel s1
cable T 14/2 s1 s2
cable U 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
in s1: F.black T.black porch.line
in s1: U.black porch.load
in s1: F.white T.white U.white
in s2: T.black stair.line
in s2: L.black stair.load
in s2: U.black M.black
in s2: T.white L.white
in s2: U.white M.white
`, identify.Options{Unusual: 1, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, true},
	{"one circuit in two cables, neutrals joined again", "the two neutrals spliced together at both ends share the current", `
feed stair A
open s1 s2
light lamp ceiling
light flood eave
switch stair s2 single-pole
switch porch s1 single-pole
cable F 14/2 panel s1
cable T 14/2 s1 s2
cable U 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
in s1: F.black T.black porch.line
in s1: U.black porch.load
in s1: F.white T.white U.white
in s2: T.black stair.line
in s2: L.black stair.load
in s2: U.black M.black
in s2: T.white L.white U.white M.white
`, identify.Options{Unusual: 2, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, true},
	{"two circuits in two cables", "each circuit in its cable with its own neutral", `
feed stair A
feed porch B
open s1 s2
light lamp ceiling
light flood eave
switch stair s2 single-pole
switch porch s2 single-pole
cable F 14/2 panel s1
cable G 14/2 panel s1
cable T 14/2 s1 s2
cable U 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
in s1: F.black T.black
in s1: F.white T.white
in s1: G.black U.black
in s1: G.white U.white
in s2: T.black stair.line
in s2: L.black stair.load
in s2: U.black porch.line
in s2: M.black porch.load
in s2: T.white L.white
in s2: U.white M.white
`, identify.Options{Unusual: 1, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s2"}}}}, true},
	{"two circuits in one box, neutrals joined", "somebody spliced the neutrals of both circuits together", `
feed stair A
feed porch B
open s1
light lamp ceiling
light flood eave
switch stair s1 single-pole
switch porch s1 single-pole
cable F 14/2 panel s1
cable G 14/2 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
in s1: F.black stair.line
in s1: L.black stair.load
in s1: F.white L.white G.white M.white
in s1: G.black porch.line
in s1: M.black porch.load
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, false},
	{"multiwire", "two hots of two lines and one neutral in one cable", `
feed stair A
feed porch B
open s1
light lamp ceiling
light flood eave
switch stair s1 single-pole
switch porch s1 single-pole
cable F 14/3 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
in panel: F.black stair.hot
in panel: F.red porch.hot
in panel: F.white stair.neutral
in s1: F.black stair.line
in s1: L.black stair.load
in s1: F.white L.white M.white
in s1: F.red porch.line
in s1: M.black porch.load
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, false},
	{"multiwire on one line", "the breakers were moved: the neutral carries the sum", `
feed stair A
feed porch A
open s1
light lamp ceiling
light flood eave
switch stair s1 single-pole
switch porch s1 single-pole
cable F 14/3 panel s1
cable L 14/2 s1 ceiling
cable M 14/2 s1 eave
in panel: F.black stair.hot
in panel: F.red porch.hot
in panel: F.white stair.neutral
in s1: F.black stair.line
in s1: L.black stair.load
in s1: F.white L.white M.white
in s1: F.red porch.line
in s1: M.black porch.load
`, identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s1"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}, false},
}
