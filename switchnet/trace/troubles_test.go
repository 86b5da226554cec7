package trace_test

import (
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A trouble is one that somebody had: the job as it was meant to be, what was told, and
// what a session must make of it.
type trouble struct {
	job, reports string
	why          string
	faults       func(*wiring.Wiring) []miswire.Fault
	priors       *trace.Priors
	status       trace.Status // 0: anything but a contradiction
	holds        []string
	first        string
	out          []string
	advice       []wiring.Edit // of a contradiction, TestCasesOfTwo judges it
	cures        string        // "never", "maybe", "trips"; empty: nothing was advised
}

// troubles are all of them.
func troubles() []trouble {
	hall, passage, landing := switchnet.Ref{Place: "hall", Name: "stair"}, switchnet.Ref{Place: "passage", Name: "stair"}, switchnet.Ref{Place: "landing", Name: "stair"}
	const (
		atHall    = "stair.common and stair.traveler 1 are exchanged in box hall"
		atLanding = "stair.common and stair.traveler 1 are exchanged in box landing"
		single    = "stair is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box hall"
		deadHall  = "stair: common does not join traveler 1 when up in box hall"
		deadLand  = "stair: common does not join traveler 1 when up in box landing"
	)
	oneOfFour := []string{atHall, atLanding, single, deadHall, deadLand, "C2.red is open"}
	return []trouble{
		{job: "stair-three-places", reports: "relit-from-one-only", faults: without(miswire.WrongDevice), priors: replaced(hall, passage, landing),
			why:    "lit in one of eight: with the right devices in place it takes two of them landed wrong",
			status: trace.Contradiction},
		{job: "stair-three-places", reports: "relit-from-one-only", priors: replaced(hall, passage, landing),
			why:   "whoever did not look at the middle one: a three-way in its place is the one single thing that does it",
			first: "stair is a three-way", out: []string{"nothing is wrong", "stair.common and stair.traveler 1 are exchanged in box hall", atLanding, "stair.pair 1 first and stair.pair 2 first are exchanged in box passage"}},
		{job: "stair-three-places", reports: "middle-rules", priors: replaced(passage),
			why:   "the one that was replaced rules the others: its pairs are mixed; one wire of each cable on each pair",
			holds: []string{"stair.pair 1 first and stair.pair 2 first are exchanged in box passage"}, first: "stair.pair 1",
			out:    []string{"stair.common and stair.traveler 1 are exchanged in box hall", atLanding, "stair: stuck up in box passage"},
			advice: []wiring.Edit{swap("passage", "stair", "pair 1 second", "pair 2 second")}, cures: "maybe"},
		{job: "aisle-and-bench", reports: "lit-in-three-of-four", priors: replaced(switchnet.Ref{Place: "store-door", Name: "aisle"}),
			why: "lit in three of four, and the bench follows: no single fault does both", status: trace.Contradiction},
		{job: "stair-dead-end", reports: "new-box-or-old", priors: worn(),
			why:   "it had worked, and nobody was in a box: a contact or a traveler gave way; that somebody was and forgot stays possible",
			holds: oneOfFour, first: "stair: common does not join traveler", out: []string{"nothing is wrong", "C1.black is open"}},
		{job: "stair-dead-end", reports: "new-box-or-old", priors: replaced(landing),
			why:   "the new box is likelier, and nothing seen singles it out: the old one, an open traveler, a dead throw, a single-pole light alike",
			holds: oneOfFour, first: "stair.common and stair.traveler", out: []string{"nothing is wrong", "C1.black is open"},
			advice: []wiring.Edit{swap("landing", "stair", "common", "traveler 1")}, cures: "maybe"},
		{job: "stair-dead-end", reports: "new-box-both-hot", priors: replaced(landing),
			why:   "the hot comes to the landing here, new as it is: both travelers hot together are of the other end, where the leg is",
			holds: []string{atHall}, first: atHall, out: []string{atLanding, deadHall, deadLand, "C2.red is open"},
			advice: []wiring.Edit{swap("landing", "stair", "common", "traveler 1")}, cures: "never"},
		{job: "stair-dead-end", reports: "new-box-both-dead", priors: replaced(landing),
			why:   "both dead in one position of the landing are of that end, or of the traveler that it stands on: travelers alone do not tell an exchange from a dead throw",
			holds: []string{atLanding, deadLand, "C2.red is open"}, first: atLanding, out: []string{"nothing is wrong", atHall, deadHall, single}},
		{job: "stair-pair", reports: "below-before-above", why: "by flips alone it is one end as well as the other",
			holds: oneOfFour, out: []string{"nothing is wrong"},
			advice: []wiring.Edit{swap("landing", "stair", "common", "traveler 1")}, cures: "maybe"},
		{job: "stair-pair", reports: "below-before-above", priors: marked(hall), first: "stair is a single-pole, line for common",
			why: "the handle in the hall says on and off: a single-pole in the place of a three-way is before all else", holds: oneOfFour},
		{job: "stair-pair", reports: "blind-dark", why: "never lit: an open hot and the like; a right job never is",
			holds: []string{"C1.black is open", "C3.black is open"}, out: []string{"nothing is wrong", atHall}},
		{job: "stair-pair", reports: "blind-one-of-four", why: "one of four", holds: oneOfFour, out: []string{"C1.black is open"}},
		{job: "stair-pair", reports: "blind-sparks", why: "no landing of the hot, the leg and the travelers is a short: a neutral or the bare is on a screw",
			out: append([]string{"nothing is wrong"}, oneOfFour...), holds: []string{"C1.white is on stair.traveler 1 in box hall"}},
		{job: "aisle-four-lights", reports: "three-stay-lit", status: trace.Contradiction,
			why: "the return in with the neutrals trips where it should light, and the three on the constant hot are a second mistake"},
		{job: "aisle-four-lights", reports: "closed-chain-trips", priors: replaced(),
			why:   "a short in just the two settings in which it should light: the leg is in with the neutrals",
			holds: []string{"C5.black is in the splice of C4.white in box aisle-4"}, out: []string{"nothing is wrong", "C5.black is open", "aisle.common and aisle.traveler 1 are exchanged in box yard-door"}},
		{job: "stair-on-the-throws", reports: "leg-hot-while-dark", first: "nothing is wrong",
			why: "as drawn: on the throws both wires of the light are hot in one dark state; it works, and is hazardous; to land the hot on the common by the book is a bolted fault", holds: []string{"nothing is wrong"},
			advice: []wiring.Edit{swap("hall", "stair", "common", "traveler 1")}, cures: "trips"},
		{job: "stair-pair", reports: "hot-then-neutral", status: trace.Contradiction,
			why: "read in what is taken for a chain: no single fault has both wires of the light hot in one dark state and both dead in the other; hot and neutral are on the throws"},
		{job: "stair-pair", reports: "blind-sparks", priors: replaced(hall, landing), first: "C1.black and C2.white are exchanged in box hall", holds: []string{"C1.white is on stair.common in box hall", "C2.white is on stair.traveler 2 in box landing"},
			why: "both devices were tried with every wire: a white is on one of them, in the place of another wire or beside it; the advice to go on trying is refused by the rule of one trip", out: append([]string{"nothing is wrong"}, oneOfFour...)},
		{job: "stair-on-the-throws", reports: "replaced-with-a-spark", priors: replaced(hall),
			why: "the hot on the common of a scheme with hot and neutral on the throws is a bolted fault", first: "stair.common and stair.traveler",
			holds: []string{atHall}},
		{job: "stair-and-parlour", reports: "parlour-follows", priors: replaced(switchnet.Ref{Place: "hall", Name: "stair"}),
			why: "what feeds on hangs on the leg: nothing else has the parlour go out with the stair and with its own switch", status: trace.Found, holds: []string{"C3.black is on stair.load in box hall"}, out: []string{"nothing is wrong", "C3.black is open"},
			advice: []wiring.Edit{wiring.JoinSplice{Box: "hall", Join: []wiring.Joint{wiring.WireJoint("C1", "black"), {Device: "stair", Terminal: "line"}, wiring.WireJoint("C3", "black")}}}, cures: "maybe"},
		{job: "two-lines", reports: "bench-far-too-bright", priors: replaced(switchnet.Ref{Place: "bench", Name: "outlet"}), first: "C1.white and C1.red are exchanged in box bench",
			why:   "twice the volts: the other line is where the neutral belongs, and that box was remade",
			holds: []string{"loft.hot and store.neutral are exchanged in box panel"}, out: []string{"nothing is wrong", "C1.white is open"}},
		{job: "stair-pair", reports: "both-put-it-out", priors: worn(), why: "the test that each must put out a lit lamp passes both worn devices, and finds only one that no longer moves",
			holds: []string{deadHall, deadLand, "C2.red is open"}, first: "stair: common does not join traveler", out: []string{"nothing is wrong", "stair: stuck up in box hall", "stair: stuck up in box landing"},
			advice: []wiring.Edit{swap("hall", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "below-before-above", why: "to exchange the two travelers cures nothing, at either end",
			holds: oneOfFour, advice: []wiring.Edit{swap("landing", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "one-controls", why: "nor does it where only one of the two controls the light: that one is stuck, or the leg is on a traveler's screw",
			holds: []string{"stair: stuck up in box landing", "C3.black is on stair.traveler 1 in box landing"}, out: append([]string{"nothing is wrong", "stair: stuck up in box hall"}, oneOfFour...),
			advice: []wiring.Edit{swap("landing", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "both-travelers-live", status: trace.Contradiction,
			why: "and both travelers live with the handles unlike are not what a right pair shows: one is driven in every setting"},
		{job: "stair-pair", reports: "idle-traveler-sixty", why: "sixty volts on a meter of high impedance are evidence of nothing: it is right",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.red is open", "C2.black and C2.red touch in box hall"}},
		{job: "stair-three-places", reports: "lamp-holds-a-little", why: "what couples to the leg is no fault",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong"},
		{job: "stair-pair", reports: "quarter-hour", priors: worn(), why: "it had worked, so the wires are on the right screws: a throw or a traveler gave way, at either end",
			holds: oneOfFour, first: "stair: common does not join traveler", out: []string{"nothing is wrong", "C1.black is open"}},
		{job: "stair-pair", reports: "quarter-hour-wire", priors: worn(), why: "hot where it starts and dead where it ends: the traveler", status: trace.Found,
			holds: []string{"C2.red is open"}, out: []string{deadHall, deadLand, atHall, atLanding, "C2.black is open"}},
		{job: "stair-pair", reports: "quarter-hour-one-good", priors: worn(), why: "one traveler good at the far end says nothing of the other, on which the landing may stand",
			holds: []string{deadLand, deadHall, "C2.black is open"}, out: []string{"C2.red is open"}},
		{job: "stair-pair", reports: "quarter-hour-upper", priors: worn(), why: "both good at the far end and the leg dead: the device there",
			first: "stair: common does not join traveler 1 when up in box landing", holds: []string{"stair: common does not join traveler 2 when down in box landing"}, out: []string{deadHall, "C2.red is open", "C2.black is open", atHall}},
		{job: "stair-pair", reports: "quarter-hour-lower", priors: worn(), why: "neither driven where the feed comes: the device there",
			first: deadHall, holds: []string{"stair: common does not join traveler 2 when down in box hall"}, out: []string{deadLand, "C2.red is open", atLanding}},
		{job: "spare-red", reports: "leg-thirty", why: "thirty volts are what coupling brings: nothing is wrong, or the red hangs on the neutral or is cut, which only a load tells",
			holds: []string{"nothing is wrong", "C2.red is open", "C2.red is on loft light.neutral in box loft"}, first: "nothing is wrong"},
		{job: "spare-red", reports: "red-forty-then-nothing", why: "and nothing under load: free, not tied to the hot",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.black and C2.red touch", "C2.red is on loft light.hot in box loft"}},
		{job: "spare-red", reports: "red-nothing-under-load", why: "the load alone tells as much, and nobody need ground an unknown wire and energize it",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.black and C2.red touch", "C2.red is on loft light.hot in box loft"}},
		{job: "spare-red", reports: "red-on-the-hot", why: "what that would have been: a bolted fault",
			holds: []string{"C2.black and C2.red touch"}, first: "C2.red is on loft light.hot in box loft", out: []string{"nothing is wrong", "C2.red is open"}},
		{job: "light-taken-down", reports: "taken-down-thirty", why: "a leg free at both ends in a metal box: coupling",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong"},
		{job: "light-taken-down", reports: "taken-down-loaded", why: "and a load takes it down",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C1.black and C2.black touch"}},
		{job: "landing-on-strappers", reports: "strapper-ghosts", why: "of 230 V too, a quarter to a half on the idle strapper is evidence of nothing: it is right",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.brown and C2.black touch", "C2.black is open"}},
		{job: "landing-on-strappers", reports: "strapper-loaded", why: "and nothing is left of it under load",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.brown and C2.black touch"}},
		{job: "stair-pair", reports: "ghost-on-open-traveler", priors: worn(),
			why:   "the ghost is no evidence of metal, and the zero under load is: the open traveler and the worn contact stay, one wire as the other",
			holds: []string{"C2.red is open", "C2.black is open", "stair: common does not join traveler 2 when down in box hall"}, first: "stair: common does not join traveler", out: []string{"nothing is wrong", deadLand, atLanding, "C1.black is open"},
			advice: []wiring.Edit{swap("landing", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "half-hot", reports: "half-always-on", priors: replaced(switchnet.Ref{Place: "skirting", Name: "outlet"}), why: "a new receptacle comes with its tab in",
			first: "outlet: the tab is left in", holds: []string{"C2.black and C2.red touch in box door"}, out: []string{"nothing is wrong", "lamp: stuck up in box door", "lamp.common and lamp.traveler 1 are exchanged in box door"},
			advice: []wiring.Edit{swap("landing", "lamp", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "trips-both-down", why: "what was not tried stays open: a traveler that touches the neutral or the bare",
			holds: []string{"C1.white and C2.black touch in box hall", "C2.black is in the splice of C2.white in box landing"}, out: append([]string{"nothing is wrong"}, oneOfFour...)},
		{job: "stair-pair", reports: "trips-both-down-only", status: trace.Contradiction, why: "a traveler on the neutral trips in two of four: only one is two faults"},
		{job: "stair-pair", reports: "trips-where-it-should-light", why: "the leg is on the neutral: a short where it should light",
			holds: []string{"C3.black is on stair light.neutral in box stair", "C3.black and C3.white touch in box stair", "C2.white and C3.black touch in box landing"}, out: []string{"nothing is wrong", "C1.white and C2.black touch in box hall"}},
		{job: "stair-pair", reports: "never-off", why: "the travelers are one wire", status: trace.Found, holds: []string{"C2.black and C2.red touch in box hall"}, first: "C2.black and C2.red touch",
			advice: []wiring.Edit{swap("hall", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-three-places", reports: "hall-down-stays-on", priors: worn(), why: "one position always on: a weld, or the hot on a traveler, of the end that rules",
			holds: []string{"stair: common is welded to traveler 1 in box hall", "C1.black and C2.black touch in box hall"}, first: "stair: common is welded to traveler", out: []string{"nothing is wrong", "stair: common is welded to traveler 1 in box landing"}},
		{job: "stair-pair", reports: "switched-neutral", why: "it works and is hazardous: the switches are in the neutral",
			holds: []string{"C1.black and C1.white are exchanged in box hall"}, first: "lights.hot and lights.neutral are exchanged in box panel", out: []string{"nothing is wrong"}},
		{job: "stair-three-places", reports: "middle-does-nothing", priors: worn(), why: "stuck, or bypassed", first: "stair: stuck", holds: []string{"stair: stuck up in box passage"}, out: []string{"nothing is wrong", "stair.pair 1 first and stair.pair 2 first are exchanged in box passage"}},
		{job: "stair-three-places", reports: "end-does-nothing", why: "stuck, or the leg on a traveler's screw with it; or its pair on one side of the middle one",
			holds: []string{"stair: stuck up in box landing", "C4.black is on stair.traveler 1 in box landing", "C3.black is on stair.pair 2 second in box passage"}, out: []string{"nothing is wrong", "stair: stuck up in box hall"}},
		{job: "stair-pair", reports: "dead-with-both-wires-hot", priors: worn(), why: "an open neutral: the lamp brings the hot over to its other side",
			first: "C1.white is out of its splice", holds: []string{"C1.white is open", "C2.white is open", "C3.white is open"}, out: []string{"nothing is wrong", "C1.black is open", "C3.black is open"}},
		{job: "stair-pair", reports: "no-hot-below", priors: worn(), why: "the hot does not come: it is open before the hall", first: "C1.black is open", out: []string{"nothing is wrong", "C3.black is open", "C1.white is open"}},
		{job: "stair-pair", reports: "glows-when-off", first: "nothing is wrong", why: "what a cable couples to the leg lets a driver glow: no fault",
			holds: []string{"nothing is wrong"}, out: []string{"C2.red is open", atHall}},
		{job: "stair-pair", reports: "flickers", holds: []string{"nothing is wrong"}, first: "nothing is wrong", why: "a loose joint or the lamp: no wiring that is whole flickers, and no end is on a wrong screw", out: []string{atHall, atLanding}},
		{job: "stair-pair", reports: "dimmer-in-three-way-place", priors: replaced(landing), why: "a single-pole where a three-way belongs is before any worn contact in what is new, and before the end that nobody touched",
			first: "stair.common and stair.traveler", holds: []string{"stair is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box landing", atHall, deadHall}, out: []string{"nothing is wrong"}},
		{job: "stair-pair", reports: "hot-on-both-travelers", first: "nothing is wrong", holds: []string{"nothing is wrong"}, why: "a proximity tester tells no traveler from the other"},
		{job: "stair-pair", reports: "zero-on-high-impedance", first: "C1.black is open", holds: []string{"nothing is wrong", "C1.black is open", "C3.black is open"},
			why: "a zero on a meter of high impedance alone is not dead: a right job stays possible, and what would explain it is before it"},
	}
}
