package rules_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/strict"
)

func regionText(t testing.TB, id string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("regions", id+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// same compares two regions apart from the amendments they name.
func same(a, b *rules.Region) bool {
	x, y := *a, *b
	x.Amendments, y.Amendments = nil, nil
	return reflect.DeepEqual(x, y)
}

// TestEmptyOverlayChangesNothing is a law for every region.
func TestEmptyOverlayChangesNothing(t *testing.T) {
	for _, info := range rules.Regions() {
		if !same(mustLoad(t, info.ID), mustLoad(t, info.ID, overlay(""))) {
			t.Errorf("an empty overlay changes %s", info.ID)
		}
		if !same(mustLoad(t, info.ID), mustLoad(t, info.ID, overlay("conductors: {}\nwiring: {rules: {}}\nstock: {cables: {}}\nbox fill: {}\n"))) {
			t.Errorf("an overlay of empty groups changes %s", info.ID)
		}
	}
}

var headingKeys = regexp.MustCompile(`(?m)^(id|title|code|edition|source|extends|cautions):.*\n(?:  .*\n)*`)

// TestOwnOverlayChangesNothing: what a region states, stated once more, sources and
// edition included, is the region.
func TestOwnOverlayChangesNothing(t *testing.T) {
	for _, info := range rules.Regions() {
		body := headingKeys.ReplaceAllString(string(regionText(t, info.ID)), "")
		body = strings.Replace(body, "format: 1\n", "format: 1\nname: the same again\nedition: \""+info.Edition+"\"\n", 1)
		if strings.Contains(body, "left out") {
			continue // what is taken out cannot be taken out again
		}
		r, err := rules.Load(info.ID, rules.Overlay{Name: "same.yaml", Text: []byte(body)})
		if err != nil {
			t.Errorf("%s: %v", info.ID, err)
			continue
		}
		if !same(mustLoad(t, info.ID), r) {
			t.Errorf("%s laid upon itself is another", info.ID)
		}
	}
}

// TestRegionsAreCopies: a caller may change what Load returned.
func TestRegionsAreCopies(t *testing.T) {
	a := mustLoad(t, "us-2023")
	before := mustLoad(t, "us-2023")
	clear(a.Conductor.Ampacities)
	clear(a.Box.Allowances)
	clear(a.Wiring.Rules)
	clear(a.Stock.Cables)
	a.Cautions[0] = "none"
	if !same(before, mustLoad(t, "us-2023")) {
		t.Error("changing one region changed another")
	}
}

// TestOrderOfFileIsNoMatter shuffles the entries of a file's maps and wants
// what is promised by name in the same order, and the tables the same in some.
func TestOrderOfFileIsNoMatter(t *testing.T) {
	for _, info := range rules.Regions() {
		doc, err := strict.Parse(info.ID, regionText(t, info.ID), strict.Options{})
		if err != nil {
			t.Fatal(err)
		}
		want := mustLoad(t, info.ID)
		for seed := range uint64(3) {
			var b bytes.Buffer
			writeShuffled(&b, doc.Root(), 0, rand.New(rand.NewPCG(seed, 7)))
			got, err := rules.Parse("shuffled.yaml", b.Bytes())
			if err != nil {
				t.Fatalf("%s: %v", info.ID, err)
			}
			if !reflect.DeepEqual(want.Wiring.Rules, got.Wiring.Rules) || !reflect.DeepEqual(want.Stock, got.Stock) ||
				!reflect.DeepEqual(want.Refused, got.Refused) || !reflect.DeepEqual(want.Wiring.Neutral.Exemptions, got.Wiring.Neutral.Exemptions) {
				t.Errorf("%s: the order of the file shows in what is ordered by name", info.ID)
			}
			for i := range reflect.TypeFor[rules.Region]().NumField() {
				x, y := fmt.Sprintf("%+v", reflect.ValueOf(*want).Field(i)), fmt.Sprintf("%+v", reflect.ValueOf(*got).Field(i))
				if sortedWords(x) != sortedWords(y) {
					t.Errorf("%s: %s has other content in another order", info.ID, reflect.TypeFor[rules.Region]().Field(i).Name)
				}
			}
		}
	}
}

func sortedWords(text string) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" {}[]", r) })
	slices.Sort(words)
	return strings.Join(words, " ")
}

// writeShuffled writes a node with the entries of every map in another order.
// Lists keep theirs, and so do the maps whose order means something.
func writeShuffled(b *bytes.Buffer, n *strict.Node, indent int, random *rand.Rand) {
	switch n.Kind() {
	case strict.KindMap:
		if len(n.Entries()) == 0 {
			b.WriteString(" {}\n")
			return
		}
		b.WriteByte('\n')
		entries := slices.Clone(n.Entries())
		random.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
		for _, e := range entries {
			b.WriteString(strings.Repeat(" ", indent) + strict.Quote(e.Key.Raw()) + ":")
			writeShuffled(b, e.Value, indent+2, random)
		}
	case strict.KindList:
		if len(n.List("a list")) == 0 {
			b.WriteString(" []\n")
			return
		}
		b.WriteByte('\n')
		for _, item := range n.List("a list") {
			b.WriteString(strings.Repeat(" ", indent) + "-")
			writeShuffled(b, item, indent+2, random)
		}
	default:
		b.WriteString(" " + strict.Quote(n.Raw()) + "\n")
	}
}

// TestRegionFilesAreCanonical keeps the shipped files in the one layout.
func TestRegionFilesAreCanonical(t *testing.T) {
	for _, info := range rules.Regions() {
		text := regionText(t, info.ID)
		doc, err := strict.Parse(info.ID+".yaml", text, strict.Options{})
		if err != nil {
			t.Fatal(err)
		}
		out, err := doc.Format()
		if err != nil {
			t.Fatal(err)
		}
		if golden.Updating() {
			if err := os.WriteFile(filepath.Join("regions", info.ID+".yaml"), out, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if !bytes.Equal(text, out) {
			t.Errorf("%s.yaml is not in the canonical layout; go test -run Canonical -update . writes it", info.ID)
		}
	}
}

// TestEveryRowHasItsSource walks everything a region holds.
func TestEveryRowHasItsSource(t *testing.T) {
	for _, info := range rules.Regions() {
		r := mustLoad(t, info.ID)
		for _, rule := range r.Wiring.Rules {
			if rule.Source.Section == "" || rule.Source.Confidence == 0 || rule.Source.Edition == "" || rule.Says == 0 {
				t.Errorf("%s: %+v", r.ID, rule)
			}
		}
		for _, s := range r.Wiring.Schemes {
			for _, p := range s.Palettes {
				if p.Source.Section == "" || len(p.Colours) == 0 {
					t.Errorf("%s: %+v", r.ID, p)
				}
			}
		}
		if !slices.IsSortedFunc(r.Wiring.Rules, func(a, b rules.Rule) int { return int(a.Name) - int(b.Name) }) {
			t.Errorf("%s: rules are not sorted", r.ID)
		}
	}
}

func TestAmountsRoundTrip(t *testing.T) {
	for a, want := range map[rules.Amount]string{-1_500_000: "-1.5", -1: "-0.000001", -2_000_000: "-2", 0: "0"} {
		if got := a.String(); got != want {
			t.Errorf("%d millionths are %q, want %q", int64(a), got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rules.Amount(rapid.Int64Range(0, 9_000_000_000_000_000).Draw(t, "millionths"))
		back, err := rules.ParseAmount(a.String())
		if err != nil || back != a {
			t.Fatalf("%s reads as %s: %v", a, back, err)
		}
		text, err := a.MarshalText()
		if again := rules.Amount(1); err != nil || again.UnmarshalText(text) != nil || again != a {
			t.Fatalf("%s is marshaled as %s: %v", a, text, err)
		}
		rate := rules.Rate{Amount: a, Per: quantity.Length(rapid.Int64Range(1, int64(100*quantity.Meter)).Draw(t, "per"))}
		text, err = rate.MarshalText()
		if again := (rules.Rate{}); err != nil || again.UnmarshalText(text) != nil || again != rate {
			t.Fatalf("%s is marshaled as %s: %v", rate, text, err)
		}
	})
	if _, err := rules.Amount(-1).MarshalText(); err == nil {
		t.Error("an amount below zero is marshaled")
	}
	if _, err := (rules.Rate{}).MarshalText(); err == nil {
		t.Error("an unknown rate is marshaled")
	}
	if got := (rules.Rate{Amount: 620_000, Per: quantity.Foot}).String(); got != "0.62 per ft" {
		t.Errorf("a rate by the foot is %q", got)
	}
}

// TestRatesAreMonotone: a longer cable never costs less, and whole units cost
// the amount times their number.
func TestRatesAreMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rules.Rate{Amount: rules.Amount(rapid.Int64Range(0, 1_000_000_000).Draw(t, "amount")),
			Per: quantity.Length(rapid.Int64Range(1, int64(100*quantity.Meter)).Draw(t, "per"))}
		short := quantity.Length(rapid.Int64Range(0, int64(quantity.Kilometer)).Draw(t, "short"))
		long := short + quantity.Length(rapid.Int64Range(0, int64(quantity.Kilometer)).Draw(t, "more"))
		a, okA := rate.For(short)
		b, okB := rate.For(long)
		if okA && okB && a > b {
			t.Fatalf("%s costs %s, %s costs %s", short, a, long, b)
		}
		n := rapid.Int64Range(0, 1000).Draw(t, "n")
		if c, ok := rate.For(rate.Per * quantity.Length(n)); !ok || c != rate.Amount*rules.Amount(n) {
			t.Fatalf("%d units cost %s", n, c)
		}
	})
}

func TestWordsRoundTrip(t *testing.T) {
	for n := rules.Name(1); ; n++ {
		text, err := n.MarshalText()
		if err != nil {
			if n < 50 {
				t.Errorf("only %d names of rules", n-1)
			}
			break
		}
		var back rules.Name
		if err := back.UnmarshalText(text); err != nil || back != n {
			t.Errorf("%q reads as %v: %v", text, back, err)
		}
	}
	var zero rules.Name
	if _, err := zero.MarshalText(); err == nil || zero.String() != "unset" {
		t.Error("the zero name has a word")
	}
	if err := zero.UnmarshalText([]byte("no such rule")); err == nil || zero != 0 {
		t.Error("an unknown word is a name")
	}
}
