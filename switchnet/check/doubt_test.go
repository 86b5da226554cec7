package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestDoubts holds what the demands of a room come to where the region is not sure of
// them, or where a device has the protection and not the circuit: no finding, and no
// silence.
func TestDoubts(t *testing.T) {
	const outlet = `format: 1
rules: us-2017
kinds:
  - {name: protective receptacle, terminals: [line hot, load hot, line neutral, load neutral], positions: [{name: at rest, joins: [[line hot, load hot], [line neutral, load neutral]]}]}
  - {name: sensor, terminals: [line hot, line neutral], positions: [{name: at rest}], inside: [{name: clock, from: line hot, to: line neutral}]}
feeds: [{name: outlets, box: panel, breaker: 15 AFEED}]
boxes:
  - {name: panel, kind: panel}
  - {name: bench, kind: device, volume: 34 in3, room: ROOM}
cables: [{name: C1, type: 14/2, from: panel, to: bench}]
devices: [{name: outlet, box: bench, kind: KIND}]
landings:
  - {box: panel, device: outlets, terminal: hot, wire: C1.black}
  - {box: panel, device: outlets, terminal: neutral, wire: C1.white}
  - {box: bench, device: outlet, terminal: line hot, wire: C1.black}
  - {box: bench, device: outlet, terminal: line neutral, wire: C1.white}
`
	for _, r := range []struct {
		region, room, kind, feed string
		found                    string // the protections that are lacking
		doubt                    string // what the first doubt says, and its section
		doubts                   int
		why                      string
	}{
		{"us-2017", "kitchen", "protective receptacle", "", "arc-fault", "whether outlets, which serves box bench (kitchen), needs ground-fault protection there NEC 210.8(A)", 1, "of countertops only, which no job states"},
		{"us-2020", "kitchen", "protective receptacle", "", "arc-fault", "whether outlets, which serves box bench (kitchen), needs ground-fault protection there NEC 210.8(A)", 1, "so until 2023"},
		{"us-2023", "kitchen", "protective receptacle", "", "arc-fault ground-fault", "", 0, "all of them"},
		{"us-2017", "kitchen", "protective receptacle", ", protection: [arc-fault, ground-fault]", "", "", 0, "the circuit has what is in doubt"},
		{"us-2023", "bedroom", "protective receptacle, protection: [arc-fault]", "", "", "whether an arc-fault device protects box bench (bedroom) enough NEC 210.12(B)", 1, "it may stand at the first outlet alone"},
		{"us-2023", "bedroom", "protective receptacle, protection: [arc-fault]", ", protection: [arc-fault]", "", "", 0, "the circuit has it"},
		{"us-2023", "outdoors", "protective receptacle, protection: [ground-fault]", "", "", "", 0, "ground-fault protection may stand anywhere ahead"},
		{"us-2023", "outdoors", "sensor", "", "", "", 0, "nothing is plugged into what uses power itself"},
	} {
		src := strings.NewReplacer("us-2017", r.region, "ROOM", r.room, "KIND", r.kind, "FEED", r.feed).Replace(outlet)
		f, job := read(t, "doubts.yaml", []byte(src))
		var doubts []check.Doubt
		found, err := check.Run(t.Context(), job, check.Edition(f.Region), &check.Options{NoFixes: true, Doubt: func(d check.Doubt) { doubts = append(doubts, d) }})
		if err != nil {
			t.Fatal(err)
		}
		var lacking []string
		for _, x := range found {
			if x.Code == "protection-missing" {
				lacking = append(lacking, x.About.Name)
			}
		}
		if got := strings.Join(lacking, " "); got != r.found {
			t.Errorf("%s, %s, %s%s: lacking %q, want %q: %s", r.region, r.room, r.kind, r.feed, got, r.found, r.why)
		}
		if len(doubts) != r.doubts {
			t.Errorf("%s, %s, %s%s: %d doubts, want %d: %s", r.region, r.room, r.kind, r.feed, len(doubts), r.doubts, r.why)
			continue
		}
		if r.doubts > 0 {
			d := doubts[0]
			says, section := r.doubt[:strings.LastIndex(r.doubt, " NEC")], r.doubt[strings.LastIndex(r.doubt, " NEC")+1:]
			if d.Code != "protection-missing" || !strings.HasPrefix(d.Message, says) || d.Section.Section != section || d.Place.Box != "bench" {
				t.Errorf("%s, %s: %+v", r.region, r.room, d)
			}
		}
	}
}
