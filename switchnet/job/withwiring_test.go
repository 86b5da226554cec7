package job_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// shedWiring returns the wiring of the shed, with the boxes and lights of the file in
// which it is wanted.
func shedWiring(t *testing.T) wiring.Spec {
	t.Helper()
	w := parse(t, demo.ShedWiredName, demo.ShedWired()).Wiring
	wanted := parse(t, demo.ShedName, demo.Shed()).Wiring
	w.Boxes, w.Lights = wanted.Boxes, wanted.Lights
	return w
}

// The shed as it is wanted takes the wiring of the shed as it is wired, and keeps
// every line that it had.
func TestWithWiring(t *testing.T) {
	wired := shedWiring(t)
	src := demo.Shed()
	out, err := job.WithWiring(demo.ShedName, src, wired, options())
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(out, src) {
		t.Errorf("the file does not begin with what was wanted:\n%s", out)
	}
	f, g := parse(t, demo.ShedName, src), parse(t, demo.ShedName, out)
	f.Wiring = wired
	if !f.Equal(g) {
		t.Error("it reads otherwise")
	}
	again, err := job.WithWiring(demo.ShedName, out, wired, options())
	if err != nil || !bytes.Equal(again, out) {
		t.Errorf("the same wiring again makes it another file (%v):\n%s", err, again)
	}
}

// Every wiring there is a file of is taken out of it and put back.
func TestWithWiringReplaces(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files: %v", err)
	}
	for _, name := range append(files, "testdata/canonical.yaml") {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f := parse(t, name, src)
		bare := wiring.Spec{Supply: f.Wiring.Supply, Feeds: f.Wiring.Feeds, Boxes: f.Wiring.Boxes, Lights: f.Wiring.Lights}
		bare.Lights = slices.DeleteFunc(slices.Clone(bare.Lights), func(l wiring.Light) bool { return l.On != "" })
		if len(bare.Lights) < len(f.Wiring.Lights) {
			continue // a lamp that is plugged in needs its receptacle
		}
		empty, err := job.WithWiring(name, src, bare, options())
		if err != nil {
			t.Errorf("%s: without its wiring: %v", name, err)
			continue
		}
		if parse(t, name, empty).HasWiring() {
			t.Errorf("%s: there is a wiring left in\n%s", name, empty)
		}
		back, err := job.WithWiring(name, empty, f.Wiring, options())
		if err != nil || !f.Equal(parse(t, name, back)) {
			t.Errorf("%s: not as it was (%v):\n%s", name, err, back)
		}
	}
}

func TestWithWiringKeepsWords(t *testing.T) {
	w := parse(t, "pair.yaml", []byte(`format: 1
rules: us-2023
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes: [{name: panel, kind: panel}, {name: loft, kind: device}]
lights: [{name: lamp, box: loft}]
cables: [{name: C1, type: 14/2, from: panel, to: loft}]
devices: [{name: stair, box: loft, kind: single-pole}]
`)).Wiring
	const head = `{"format": 1, "rules": "us-2023", "feeds": [{"name": "lights", "box": "panel", "breaker": "15 A"}],
"boxes": [{"name": "panel", "kind": "panel"}, {"name": "loft", "kind": "device"}], "lights": [{"name": "lamp", "box": "loft"}]`
	for _, tt := range []struct{ why, src, want string }{
		{"JSON becomes lines, and comments between lists stay", head + "} # the loft\n", `cables:
  - {name: C1, type: 14/2, from: panel, to: loft}

devices:
  - {name: stair, box: loft, kind: single-pole}
`},
		{"a list is written anew where it stands", `format: 1
rules: us-2023
# old
cables: # long gone
  - {name: C9, type: 12/2, from: panel, to: loft} # cut
# lists
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes: [{name: panel, kind: panel}, {name: loft, kind: device}]
lights: [{name: lamp, box: loft}]
# the end
`, `format: 1
rules: us-2023

# old
cables:
  - {name: C1, type: 14/2, from: panel, to: loft}

# lists
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes: [{name: panel, kind: panel}, {name: loft, kind: device}]
lights: [{name: lamp, box: loft}]

# the end

devices:
  - {name: stair, box: loft, kind: single-pole}
`},
	} {
		out, err := job.WithWiring("pair.yaml", []byte(tt.src), w, options())
		if err != nil || !strings.HasSuffix(string(out), tt.want) {
			t.Errorf("%s: %v\n%s", tt.why, err, out)
		}
	}
}

func TestWithWiringRefuses(t *testing.T) {
	for _, tt := range []struct {
		why, says string
		src       []byte
		change    func(w *wiring.Spec)
	}{
		{"a file that cannot be read", "shed.yaml:1:1", []byte("boxes: []\n"), func(*wiring.Spec) {}},
		{"the wiring of another building", "a box would not", demo.Shed(), func(w *wiring.Spec) { w.Boxes = slices.Clone(w.Boxes); w.Boxes[3].Gangs = 3 }},
		{"a cable that the format cannot name", "fancy", demo.Shed(), func(w *wiring.Spec) { w.Cables = slices.Clone(w.Cables); w.Cables[0].Type.Name = "fancy" }},
		{"a wiring that contradicts itself", "could not be read back", demo.Shed(), func(w *wiring.Spec) { w.Landings = append(w.Landings, w.Landings[0]) }},
	} {
		w := shedWiring(t)
		tt.change(&w)
		out, err := job.WithWiring(demo.ShedName, tt.src, w, options())
		if out != nil || err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v, want %q", tt.why, err, tt.says)
		}
	}
}

// What another package finds is told with what the file says wrong itself, each once, and
// not where it only follows from that.
func TestJudge(t *testing.T) {
	const src = `format: 1
title: Boat shed
rules: us-2023
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes: [{name: panel, kind: panel}, {name: slip-door, kind: device, gangs: many}, {name: loft, kind: device}]
lights: [{name: aisle, box: aisle-1}]
controls: [{name: aisle, lights: [aisle], places: [slip-door, loft]}]
`
	asked := false
	opt := &job.Options{Judge: func(f *job.File) error {
		asked = true
		if f.Region == nil || len(f.Intent.Boxes) != 3 {
			t.Errorf("the file has not been read: %v, %v", f.Region, f.Intent.Boxes)
		}
		return append(f.Intent.Check().(wiring.Problems), wiring.Problems{
			{At: wiring.Ref{List: "boxes", Index: 1, Field: "gangs"}, Detail: "is small"},
			{At: wiring.Ref{List: "boxes", Index: 2, Field: "gangs"}, Detail: "is small too"},
		}...)
	}}
	for _, tt := range []struct {
		why, src string
		want     []string // what the problems say, in order
	}{
		{"a value, a name and a judgement", src, []string{"many", "is small too", "aisle-1"}},
		{"nothing is judged under rules that there are not", strings.Replace(src, "us-2023", "us-1923", 1), []string{"us-1923", "many", "aisle-1"}},
		{"nothing is judged where a list is missing, it may be", strings.Replace(src, "controls:", "controlls:", 1), []string{"many", "controlls"}},
	} {
		asked = false
		_, err := job.Parse("shed.yaml", []byte(tt.src), opt)
		var all *job.Errors
		if !errors.As(err, &all) {
			t.Fatalf("%s: %v", tt.why, err)
		}
		ok := len(all.List) == len(tt.want)
		for i := 0; ok && i < len(tt.want); i++ {
			ok = strings.Contains(all.List[i].Found+all.List[i].Excerpt, tt.want[i])
		}
		if judged := tt.src == src; !ok || asked != judged {
			t.Errorf("%s: judged %v, want %v; %v", tt.why, asked, judged, err)
		}
	}
}

// A judge that fails is not passed over.
func TestJudgeFails(t *testing.T) {
	opt := &job.Options{Judge: func(*job.File) error { return os.ErrClosed }}
	if _, err := job.Parse(demo.ShedName, demo.Shed(), opt); err == nil || !strings.Contains(err.Error(), os.ErrClosed.Error()) {
		t.Errorf("it is passed over: %v", err)
	}
}

// Problems that are found later are put like those that are found at once.
func TestExplain(t *testing.T) {
	problems := wiring.Problems{
		{At: wiring.Ref{List: "runs", Index: 1, Field: "cable"}, Detail: "there is none"},
		{At: wiring.Ref{List: "boxes", Index: 0, Field: "gangs"}, Detail: "is small", Also: &wiring.Ref{List: "controls", Index: 2}},
	}
	err := job.Explain(demo.ShedName, demo.Shed(), problems, options())
	var all *job.Errors
	if !errors.As(err, &all) || len(all.List) != 2 || all.List[0].Found != "is small" || all.List[0].Other == nil || all.List[1].Excerpt == "" {
		t.Errorf("%#v", err)
	}
	if err := job.Explain(demo.ShedName, demo.Shed(), os.ErrClosed, options()); err != os.ErrClosed {
		t.Errorf("another error became %v", err)
	}
	if err := job.Explain(demo.ShedName, demo.Shed(), nil, options()); err != nil {
		t.Errorf("no error became %v", err)
	}
	if err := job.Explain(demo.ShedName, []byte("format: 2\n"), problems, options()); err == nil || !strings.Contains(err.Error(), "shed.yaml:1:9") {
		t.Errorf("of another text: %v", err)
	}
}
