package trace_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// told returns the session of a case: the job as it is meant to be, and what was told.
func told(t *testing.T, jobName, reports string, opt *trace.Options) *trace.Session {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", "cases", jobName+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	c := newCase(t, read(t, jobName+".yaml", src), opt)
	s := c.Session()
	text, err := os.ReadFile(filepath.Join("testdata", "cases", reports+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	words := lines.For(c.Wiring(), c.Points())
	for i, line := range strings.Split(string(text), "\n") {
		if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
			continue
		}
		e, err := words.Read(line, s.Handles())
		if err == nil {
			err = s.Enter(e)
		}
		if err != nil {
			t.Fatalf("%s.txt:%d: %v", reports, i+1, err)
		}
	}
	return s
}

// first reports whether a cause that says this is in the likeliest class.
func first(v trace.Verdict, what string) bool {
	return len(v.Fits) > 0 && says(trace.Verdict{Fits: v.Fits[:1]}, what)
}

// without returns the faults of a job without those of some kinds.
func without(kinds ...miswire.Kind) func(*wiring.Wiring) []miswire.Fault {
	return func(w *wiring.Wiring) []miswire.Fault {
		return slices.DeleteFunc(miswire.List(w), func(f miswire.Fault) bool { return slices.Contains(kinds, f.Kind) })
	}
}

func replaced(refs ...switchnet.Ref) *trace.Priors {
	p := trace.DefaultPriors()
	p.Right, p.Replaced = 0, refs
	return &p
}

// worn are the weights for what worked until it stopped.
func worn() *trace.Priors {
	p := trace.WornPriors()
	return &p
}

func swap(box, device, a, b string) wiring.Edit {
	return wiring.SwapTerminals{Box: box, A: wiring.Joint{Device: device, Terminal: a}, B: wiring.Joint{Device: device, Terminal: b}}
}

// TestCases are troubles that people had, each with the job as it was meant to be and
// what they told: what a session must still hold possible, what it must put first where
// what was told singles it out, what it must not hold possible, and what it must say of
// the advice they got.
func TestCases(t *testing.T) {
	hall, passage, landing := switchnet.Ref{Place: "hall", Name: "stair"}, switchnet.Ref{Place: "passage", Name: "stair"}, switchnet.Ref{Place: "landing", Name: "stair"}
	const (
		atHall    = "stair.common and stair.traveler 1 are exchanged in box hall"
		atLanding = "stair.common and stair.traveler 1 are exchanged in box landing"
		single    = "stair is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box hall"
		deadHall  = "stair: common does not join traveler 1 when up in box hall"
		deadLand  = "stair: common does not join traveler 1 when up in box landing"
	)
	oneOfFour := []string{atHall, atLanding, single, deadHall, deadLand, "C2.red is open"}
	for _, r := range []struct {
		job, reports string
		why          string
		faults       func(*wiring.Wiring) []miswire.Fault
		priors       *trace.Priors
		status       trace.Status // 0: any
		holds        []string
		first        string
		out          []string
		advice       []wiring.Edit
		cures        string // "never", "maybe"; empty: nothing was advised
	}{
		{job: "stair-three-places", reports: "relit-from-one-only", faults: without(miswire.WrongDevice), priors: replaced(hall, passage, landing),
			why:    "lit in one of eight: with the right devices in place it takes two of them landed wrong",
			status: trace.Contradiction},
		{job: "stair-three-places", reports: "middle-rules", priors: replaced(passage),
			why:   "the one that was replaced rules the others: its pairs are mixed; one wire of each cable on each pair",
			holds: []string{"stair.pair 1 first and stair.pair 2 first are exchanged in box passage"}, first: "stair.pair 1",
			out:    []string{"stair.common and stair.traveler 1 are exchanged in box hall", atLanding, "stair: stuck up in box passage"},
			advice: []wiring.Edit{swap("passage", "stair", "pair 1 second", "pair 2 second")}, cures: "maybe"},
		{job: "aisle-and-bench", reports: "lit-in-three-of-four", priors: replaced(switchnet.Ref{Place: "store-door", Name: "aisle"}),
			why: "lit in three of four, and the bench follows: no single fault does both",
			out: []string{"aisle.common and aisle.traveler 1 are exchanged in box store-door", "aisle.common and aisle.traveler 1 are exchanged in box yard-door"}, status: trace.Contradiction,
			advice: []wiring.Edit{swap("store-door", "aisle", "common", "traveler 1")}, cures: "never"},
		{job: "stair-dead-end", reports: "new-box-or-old", priors: worn(),
			why:   "it had worked, and nobody was in a box: a contact or a traveler gave way; that somebody was and forgot stays possible",
			holds: oneOfFour, first: "stair: common does not join traveler", out: []string{"nothing is wrong", "C1.black is open"}},
		{job: "stair-dead-end", reports: "new-box-or-old", priors: replaced(landing),
			why:   "the new box is likelier, and nothing seen singles it out: the old one, an open traveler, a dead throw, a single-pole light alike",
			holds: oneOfFour, first: "stair.common and stair.traveler", out: []string{"nothing is wrong", "C1.black is open"},
			advice: []wiring.Edit{swap("landing", "stair", "common", "traveler 1")}, cures: "maybe"},
		{job: "stair-dead-end", reports: "new-box-both-hot", priors: replaced(landing),
			why:   "the hot comes to the landing here: both travelers dead or hot together are of the end whose common it is not",
			holds: []string{atHall}, out: []string{atLanding, deadHall, deadLand, "C2.red is open"}},
		{job: "stair-pair", reports: "below-before-above", why: "by flips alone it is one end as well as the other",
			holds: oneOfFour, out: []string{"nothing is wrong"},
			advice: []wiring.Edit{swap("landing", "stair", "common", "traveler 1")}, cures: "maybe"},
		{job: "stair-pair", reports: "below-before-above", priors: replaced(hall),
			why: "a single-pole in the place of a three-way is among them", holds: []string{single}},
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
			why: "as drawn: on the throws both wires of the light are hot in one dark state; it works, and is hazardous", holds: []string{"nothing is wrong"}},
		{job: "stair-pair", reports: "blind-sparks", priors: replaced(hall), why: "the advice to go on trying is refused by the rule of one trip", out: []string{"nothing is wrong"}},
		{job: "stair-on-the-throws", reports: "replaced-with-a-spark", priors: replaced(hall),
			why: "the hot on the common of a scheme with hot and neutral on the throws is a bolted fault", first: "stair.common and stair.traveler",
			holds: []string{atHall}},
		{job: "stair-and-parlour", reports: "parlour-follows", priors: replaced(switchnet.Ref{Place: "hall", Name: "stair"}),
			why: "what feeds on hangs on the leg", holds: []string{"C3.black is on stair.load in box hall"}, out: []string{"nothing is wrong", "C3.black is open"},
			advice: []wiring.Edit{wiring.JoinSplice{Box: "hall", Join: []wiring.Joint{wiring.WireJoint("C1", "black"), {Device: "stair", Terminal: "line"}, wiring.WireJoint("C3", "black")}}}, cures: "maybe"},
		{job: "two-lines", reports: "bench-far-too-bright", why: "twice the volts: the other line is where the neutral belongs",
			holds: []string{"C1.white and C1.red are exchanged in box bench"}, out: []string{"nothing is wrong"}},
		{job: "stair-pair", reports: "both-put-it-out", why: "the test that each must put out a lit lamp passes both worn devices",
			holds: []string{deadHall, deadLand, "C2.red is open"}, out: []string{"nothing is wrong"},
			advice: []wiring.Edit{swap("hall", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "below-before-above", why: "to exchange the two travelers cures nothing, at either end",
			holds: oneOfFour, advice: []wiring.Edit{swap("landing", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "idle-traveler-sixty", why: "sixty volts on a meter of high impedance are evidence of nothing: it is right",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.red is open", "C2.black and C2.red touch in box hall"}},
		{job: "stair-three-places", reports: "lamp-holds-a-little", why: "what couples to the leg is no fault",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong"},
		{job: "spare-red", reports: "leg-thirty", why: "thirty volts are neither hot nor dead: a tie to the hot is not ruled out by them, nor is nothing",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong"},
		{job: "spare-red", reports: "red-forty-then-nothing", why: "and nothing under load: free, not tied to the hot",
			holds: []string{"nothing is wrong"}, first: "nothing is wrong", out: []string{"C2.black and C2.red touch", "C2.red and C2.black touch"}},
		{job: "stair-pair", reports: "ghost-on-open-traveler", priors: worn(),
			why:   "the ghost is no evidence of metal, and the zero under load is: the open traveler and the worn contact stay, one wire as the other",
			holds: []string{"C2.red is open", "C2.black is open", "stair: common does not join traveler 2 when down in box hall"}, first: "stair: common does not join traveler", out: []string{"nothing is wrong", deadLand, atLanding, "C1.black is open"},
			advice: []wiring.Edit{swap("landing", "stair", "traveler 1", "traveler 2")}, cures: "never"},
		{job: "stair-pair", reports: "trips-both-down", why: "what was not tried stays open: a traveler that touches the neutral or the bare",
			holds: []string{"C1.white and C2.black touch in box hall", "C2.black is in the splice of C2.white in box landing"}, out: append([]string{"nothing is wrong"}, oneOfFour...)},
		{job: "stair-pair", reports: "trips-both-down-only", status: trace.Contradiction, why: "a traveler on the neutral trips in two of four: only one is two faults"},
		{job: "stair-pair", reports: "trips-where-it-should-light", why: "the leg is on the neutral: a short where it should light",
			holds: []string{"C3.black is on stair light.neutral in box stair", "C3.black and C3.white touch in box stair", "C2.white and C3.black touch in box landing"}, out: []string{"nothing is wrong", "C1.white and C2.black touch in box hall"}},
		{job: "stair-pair", reports: "never-off", why: "the travelers are one wire", holds: []string{"C2.black and C2.red touch in box hall"}, first: "C2.black and C2.red touch",
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
	} {
		t.Run(r.job+"/"+r.reports, func(t *testing.T) {
			opt := &trace.Options{Priors: r.priors}
			if r.faults != nil {
				src, err := os.ReadFile(filepath.Join("testdata", "cases", r.job+".yaml"))
				if err != nil {
					t.Fatal(err)
				}
				opt.Faults = r.faults(read(t, r.job, src))
			}
			s := told(t, r.job, r.reports, opt)
			v := verdict(t, s)
			if r.status != 0 && v.Status != r.status {
				t.Errorf("%v, want %v: %s", v.Status, r.status, r.why)
			}
			for _, what := range r.holds {
				if v.Status == trace.Contradiction || !says(v, what) {
					t.Errorf("%q is out, %v: %s", what, v.Status, r.why)
				}
			}
			for _, what := range r.out {
				if v.Status != trace.Contradiction && says(v, what) {
					t.Errorf("%q is left: %s", what, r.why)
				}
			}
			if r.first != "" && !first(v, r.first) {
				t.Errorf("%q is not first, but %s: %s", r.first, &v.Fits[0].Class, r.why)
			}
			if r.cures != "" {
				j, err := s.Judge(context.Background(), r.advice...)
				if err != nil {
					t.Fatal(err)
				}
				if (j.Cures == 0) != (r.cures == "never") || j.Cures > 99*sure/100 {
					t.Errorf("the advice cures %s, looks right %s, leaves %s, trips %s, cannot %s; want %s: %s\n%v", j.Cures, j.LooksRight, j.Leaves, j.Trips, j.Cannot, r.cures, r.why, j.By)
				}
			}
			if slices.ContainsFunc(s.Log(), func(e trace.Entry) bool {
				o, ok := e.Report.Of.(trace.InUse)
				return ok && o.Tripped
			}) {
				if err := s.Do(trace.Action{Do: trace.Energize}); broken(err) != trace.OneTrip {
					t.Errorf("to go on trying is refused by %q", err)
				}
				if a := next(t, s); a.Test.Kind != trace.DeadTest {
					t.Errorf("after a trip %v is proposed", a.Test.Kind)
				}
			}
		})
	}
}

// TestCasesOfTwo are the troubles that no single fault gives: pairs that do.
func TestCasesOfTwo(t *testing.T) {
	for _, r := range []struct {
		job, reports, why string
		faults            func(*wiring.Wiring) []miswire.Fault
		boxes             []string // of which each pair found has two
		want              string   // a pair that must be there
	}{
		{"stair-three-places", "relit-from-one-only", "two devices of the three", without(miswire.WrongDevice, miswire.ContactDead, miswire.ContactWelded, miswire.DeviceStuck), []string{"hall", "passage", "landing"},
			"stair.common and stair.traveler 1 are exchanged in box hall, and stair.common and stair.traveler 2 are exchanged in box landing"},
		{"aisle-and-bench", "lit-in-three-of-four", "the feed on a traveler too, and the bench off the feed on the other", nil, nil,
			"C2.black is on aisle.common in box store-door, and C4.black is on aisle.traveler 2 in box store-door"},
	} {
		src, err := os.ReadFile(filepath.Join("testdata", "cases", r.job+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		opt := &trace.Options{}
		if r.faults != nil {
			opt.Faults = r.faults(read(t, r.job, src))
		}
		s := told(t, r.job, r.reports, opt)
		out, err := s.Doubles(context.Background(), &trace.DoubleOptions{Enough: 12})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d of %d tried, %d fit", r.reports, out.Tried, out.Of, len(out.Fits))
		if len(out.Fits) == 0 {
			t.Errorf("%s: no pair fits: %s", r.reports, r.why)
		}
		if !slices.ContainsFunc(out.Fits, func(x trace.Double) bool { return x.String() == r.want }) {
			t.Errorf("%s: %q is not found: %s", r.reports, r.want, r.why)
		}
		for i, x := range out.Fits {
			c, w := s.Case(), s.Case().Wiring()
			bad, err := w.Apply(slices.Concat(x.Causes[0].Fault.Edits, x.Causes[1].Fault.Edits)...)
			if err != nil {
				bad, err = w.Apply(slices.Concat(x.Causes[1].Fault.Edits, x.Causes[0].Fault.Edits)...)
			}
			if err != nil {
				t.Fatal(err)
			}
			cure, err := c.CureDouble(x)
			if err != nil {
				t.Fatal(err)
			}
			good, err := bad.Apply(cure.Edits...)
			if err != nil || i < 3 && !slices.Equal(found(t, good), found(t, w)) {
				t.Errorf("%s: %s: cured, check finds what it does not find in the sound job (%v)", r.reports, x, err)
			}
			if r.boxes != nil && x.Causes[0].Fault.Box == x.Causes[1].Fault.Box && x.Causes[0].Fault.Box != "" {
				t.Errorf("%s: %s is in one box", r.reports, x)
			}
		}
	}
}

// TestCaseOfTheWalk holds the shortest walks against the list of single faults alone.
func TestCaseOfTheWalk(t *testing.T) {
	for places, want := range map[int]int{2: 3, 3: 7, 4: 7} {
		w, err := newCase(t, chain(t, places), &trace.Options{NoDead: true, NoLive: true}).Walk(context.Background(), nil)
		if err != nil || len(w.Flips) != want || !w.Shortest {
			t.Errorf("%d places: %d flips, shortest %v, %v; want %d", places, len(w.Flips), w.Shortest, err, want)
		}
	}
}
