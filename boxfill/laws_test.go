package boxfill_test

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// draws what a box could hold in a region, with sizes the region has.
func drawContents(t *rapid.T, table *boxfill.Table) boxfill.Contents {
	size := rapid.Custom(func(t *rapid.T) conductor.Size {
		return rapid.SampledFrom(table.Allowances).Draw(t, "size").Size
	})
	count := rapid.IntRange(0, 6)
	var c boxfill.Contents
	for range rapid.IntRange(0, 4).Draw(t, "conductors") {
		entry := boxfill.Conductors{
			Size:  size.Draw(t, "size"),
			Count: count.Draw(t, "count"),
			Role: rapid.SampledFrom([]boxfill.Role{boxfill.Spliced, boxfill.Landed, boxfill.PassingThrough,
				boxfill.Pigtail, boxfill.FixtureWire}).Draw(t, "role"),
		}
		if entry.Role == boxfill.PassingThrough {
			entry.Loop = quantity.Length(rapid.IntRange(0, 20).Draw(t, "loop")) * quantity.Inch
		}
		c.Conductors = append(c.Conductors, entry)
	}
	for range rapid.IntRange(0, 3).Draw(t, "grounds") {
		c.Grounds = append(c.Grounds, boxfill.Grounds{
			Size: size.Draw(t, "size"), Count: count.Draw(t, "count"), Kind: rapid.SampledFrom(groundKinds(table)).Draw(t, "kind")})
	}
	c.Clamps = boxfill.Clamps{Internal: count.Draw(t, "internal"), External: count.Draw(t, "external")}
	for range rapid.IntRange(0, 3).Draw(t, "fittings") {
		c.Fittings = append(c.Fittings, boxfill.Fittings{Kind: rapid.SampledFrom([]string{"stud", "hickey"}).Draw(t, "kind"), Count: count.Draw(t, "count")})
	}
	for range rapid.IntRange(0, 4).Draw(t, "devices") {
		c.Devices = append(c.Devices, boxfill.Device{
			Largest: size.Draw(t, "largest"), Gangs: rapid.IntRange(0, 3).Draw(t, "gangs"),
			Depth: quantity.Length(rapid.IntRange(0, 60).Draw(t, "depth")) * quantity.Millimeter})
	}
	if !table.TerminalBlocks.Absent() {
		for range rapid.IntRange(0, 2).Draw(t, "blocks") {
			c.Blocks = append(c.Blocks, boxfill.TerminalBlock{Largest: size.Draw(t, "largest")})
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "connectors") {
		c.Connectors = append(c.Connectors, boxfill.Connectors{Largest: size.Draw(t, "largest"), Count: count.Draw(t, "count")})
	}
	c.Canopy = rapid.Bool().Draw(t, "canopy")
	return c
}

func groundKinds(table *boxfill.Table) []boxfill.GroundKind {
	kinds := []boxfill.GroundKind{boxfill.BareGround, boxfill.InsulatedGround, boxfill.CanopyGround}
	if !table.Grounds.Isolated.Absent() {
		kinds = append(kinds, boxfill.IsolatedGround)
	}
	return kinds
}

// regions are the regions whose laws are checked.
var regions = []string{"us-2017", "us-2020", "us-2023", "ca"}

// everyRegion runs a law in every region.
func everyRegion(t *testing.T, law func(*rapid.T, *boxfill.Table)) {
	for _, name := range regions {
		t.Run(name, func(t *testing.T) {
			table := region(t, name)
			rapid.Check(t, func(t *rapid.T) { law(t, table) })
		})
	}
}

func mustFill(t testing.TB, table *boxfill.Table, c boxfill.Contents) boxfill.Result {
	t.Helper()
	result, err := boxfill.Fill(table, c)
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// rapidFill is mustFill for a rapid.T.
func rapidFill(t *rapid.T, table *boxfill.Table, c boxfill.Contents) boxfill.Result {
	result, err := boxfill.Fill(table, c)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return result
}

// TestLawMoreNeverNeedsLess: whatever is added, the required volume does not fall.
func TestLawMoreNeverNeedsLess(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c, more := drawContents(t, table), drawContents(t, table)
		before := rapidFill(t, table, c)
		canopy := c.Canopy
		c = joined(c, more)
		c.Canopy = canopy // a canopy takes wires out of the count; it is no addition
		if after := rapidFill(t, table, c); after.Required < before.Required {
			t.Fatalf("%v needed, then %v with more in the box\n%s%s", before.Required, after.Required, before.Explain(), after.Explain())
		}
	})
}

func joined(c, d boxfill.Contents) boxfill.Contents {
	c.Conductors = append(slices.Clip(c.Conductors), d.Conductors...)
	c.Grounds = append(slices.Clip(c.Grounds), d.Grounds...)
	c.Fittings = append(slices.Clip(c.Fittings), d.Fittings...)
	c.Devices = append(slices.Clip(c.Devices), d.Devices...)
	c.Blocks = append(slices.Clip(c.Blocks), d.Blocks...)
	c.Connectors = append(slices.Clip(c.Connectors), d.Connectors...)
	c.Clamps.Internal += d.Clamps.Internal
	c.Clamps.External += d.Clamps.External
	return c
}

// TestLawLargerSizeNeverNeedsLess: one entry in a larger size.
func TestLawLargerSizeNeverNeedsLess(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		if len(c.Conductors) == 0 {
			return
		}
		before := rapidFill(t, table, c)
		entry := &c.Conductors[rapid.IntRange(0, len(c.Conductors)-1).Draw(t, "entry")]
		larger := rapid.SampledFrom(table.Allowances).Draw(t, "larger").Size
		if larger.Compare(entry.Size) < 0 || entry.Role == boxfill.FixtureWire && c.Canopy {
			return // under a canopy the sixth small wire grown large brings back an omission
		}
		entry.Size = larger
		if after := rapidFill(t, table, c); after.Required < before.Required {
			t.Fatalf("%v needed, then %v with a larger conductor", before.Required, after.Required)
		}
	})
}

// TestLawOrderDoesNotMatter: shuffled and split entries give the same bytes.
func TestLawOrderDoesNotMatter(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		c.Box = drawBox(t, table, c)
		want, _ := json.Marshal(rapidFill(t, table, c))
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s := c
		s.Conductors = nil
		for _, entry := range c.Conductors { // one entry for each conductor
			one := entry
			one.Count = 1
			for range entry.Count {
				s.Conductors = append(s.Conductors, one)
			}
		}
		s.Grounds, s.Fittings = slices.Clone(c.Grounds), slices.Clone(c.Fittings)
		s.Devices, s.Blocks, s.Connectors = slices.Clone(c.Devices), slices.Clone(c.Blocks), slices.Clone(c.Connectors)
		s.Box.Sections = slices.Clone(c.Box.Sections)
		shuffle(r, s.Conductors)
		shuffle(r, s.Grounds)
		shuffle(r, s.Fittings)
		shuffle(r, s.Devices)
		shuffle(r, s.Blocks)
		shuffle(r, s.Connectors)
		shuffle(r, s.Box.Sections)
		mixed := *table
		mixed.Allowances, mixed.Boxes = slices.Clone(table.Allowances), slices.Clone(table.Boxes)
		shuffle(r, mixed.Allowances)
		shuffle(r, mixed.Boxes)
		got, _ := json.Marshal(rapidFill(t, &mixed, s))
		if string(got) != string(want) {
			t.Fatalf("shuffled: %s", cmp.Diff(string(want), string(got)))
		}
	})
}

func shuffle[E any](r *rand.Rand, s []E) {
	r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
}

func drawBox(t *rapid.T, table *boxfill.Table, c boxfill.Contents) boxfill.Box {
	var box boxfill.Box
	for range rapid.IntRange(1, 3).Draw(t, "sections") {
		box.Sections = append(box.Sections, boxfill.Section{
			Marked: quantity.Volume(rapid.IntRange(1, 400).Draw(t, "quarter inches")) * in3 / 4, Count: rapid.IntRange(0, 3).Draw(t, "count")})
	}
	return box
}

// TestLawStatusComparesVolumes: the status says how required and available
// compare, the lines add up, and adding to an exactly full box overfills it.
func TestLawStatusComparesVolumes(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		c.Box = drawBox(t, table, c)
		r := rapidFill(t, table, c)
		var required, available quantity.Volume
		var allowances boxfill.Weight
		for _, line := range r.Lines {
			required += line.Total
			allowances += line.Weight
		}
		for _, line := range r.Room {
			available += line.Total
		}
		if required != r.Required || available != r.Available || r.Spare != available-required || allowances != r.Allowances {
			t.Fatalf("lines add up to %v of %v, %v allowances\n%s", required, available, allowances, r.Explain())
		}
		want := map[bool]boxfill.Status{true: boxfill.Fits, false: boxfill.DoesNotFit}[required <= available]
		if required == available {
			want = boxfill.ExactlyFull
		}
		if r.Status != want {
			t.Fatalf("status %v, want %v", r.Status, want)
		}
		if required == 0 {
			return
		}
		c.Box = boxfill.MarkedBox(required)
		if r := rapidFill(t, table, c); r.Status != boxfill.ExactlyFull || !r.Status.OK() || r.Spare != 0 {
			t.Fatalf("a box of the required volume: %v, spare %v", r.Status, r.Spare)
		}
		c.Box = boxfill.MarkedBox(required - 1)
		if required > 1 {
			if r := rapidFill(t, table, c); r.Status != boxfill.DoesNotFit || r.Spare != -1 {
				t.Fatalf("a picoliter less: %v, spare %v", r.Status, r.Spare)
			}
		}
	})
}

// TestLawRemediesHold: every remedy is what filling its contents anew says, and
// frees what it claims; the input is not changed.
func TestLawRemediesHold(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		c.Box = drawBox(t, table, c)
		saved, _ := json.Marshal(c)
		before := rapidFill(t, table, c)
		options := boxfill.RemedyOptions{
			Stock: []boxfill.StockBox{
				{Name: "42", Section: boxfill.Section{Marked: 42 * in3}},
				{Name: "60", Section: boxfill.Section{Marked: 60 * in3}, Clamps: boxfill.NoClamps}},
			Smaller: []boxfill.Substitution{{From: awg(12), To: awg(14)}, {From: awg(6), To: awg(8)}},
		}
		for _, entry := range c.Conductors {
			if entry.Count > 0 {
				entry.Count = 1
				options.Cables = append(options.Cables, boxfill.Cable{Name: "one", Conductors: []boxfill.Conductors{entry}})
			}
		}
		remedies, err := boxfill.Remedies(table, c, options)
		if err != nil {
			t.Fatalf("%v", err)
		}
		if before.Status != boxfill.DoesNotFit && len(remedies) > 0 {
			t.Fatalf("%v, and yet %d remedies", before.Status, len(remedies))
		}
		helping := false
		for _, remedy := range remedies {
			after := rapidFill(t, table, remedy.Contents)
			if diff := cmp.Diff(after, remedy.Result, cmp.Comparer(func(a, b conductor.Size) bool { return a == b })); diff != "" {
				t.Fatalf("recomputed: %s", diff)
			}
			if remedy.Frees <= 0 || remedy.Frees != after.Spare-before.Spare {
				t.Fatalf("frees %v, recomputed %v", remedy.Frees, after.Spare-before.Spare)
			}
			if helping = helping || !remedy.Cures(); helping && remedy.Cures() {
				t.Fatalf("a cure after one that only helps")
			}
		}
		if now, _ := json.Marshal(c); string(now) != string(saved) {
			t.Fatalf("the contents were changed")
		}
	})
}

// TestLawPickFits: the choices fit, ascend, and leave out nothing that fits.
func TestLawPickFits(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		var stock []boxfill.StockBox
		for i := range rapid.IntRange(0, 8).Draw(t, "stock") {
			stock = append(stock, boxfill.StockBox{Name: string(rune('a' + i)), Gangs: rapid.IntRange(0, 6).Draw(t, "gangs"),
				Section: boxfill.Section{Marked: quantity.Volume(rapid.IntRange(1, 100).Draw(t, "inches")) * in3}})
		}
		choices, err := boxfill.Pick(table, stock, c)
		if err != nil {
			t.Fatalf("%v", err)
		}
		needed := 0
		for _, d := range c.Devices {
			needed += max(d.Gangs, 1)
		}
		required := rapidFill(t, table, c).Required
		fitting := 0
		for _, box := range stock {
			if box.Section.Marked >= required && (box.Gangs == 0 || box.Gangs >= needed) {
				fitting++
			}
		}
		if len(choices) != fitting {
			t.Fatalf("%d choices, want %d", len(choices), fitting)
		}
		for i := 1; i < len(choices); i++ {
			a, b := choices[i-1], choices[i]
			if a.Result.Available > b.Result.Available || a.Result.Available == b.Result.Available &&
				(a.Box.Gangs > b.Box.Gangs || a.Box.Gangs == b.Box.Gangs && a.Box.Name > b.Box.Name) {
				t.Fatalf("%v before %v", a.Box, b.Box)
			}
		}
	})
}

// TestLawMoreIsTheMost: More conductors fit and one more does not.
func TestLawMoreIsTheMost(t *testing.T) {
	everyRegion(t, func(t *rapid.T, table *boxfill.Table) {
		c := drawContents(t, table)
		c.Box = drawBox(t, table, c)
		size := rapid.SampledFrom(table.Allowances).Draw(t, "size").Size
		n, status, err := boxfill.More(table, c, size)
		if err != nil {
			t.Fatalf("%v", err)
		}
		fits := func(n int) bool {
			more := c
			more.Conductors = append(slices.Clip(c.Conductors), boxfill.Conductors{Size: size, Count: n, Role: boxfill.Spliced})
			return rapidFill(t, table, more).Status.OK()
		}
		if status.OK() != fits(0) || n > 0 && !fits(n) || fits(n+1) {
			t.Fatalf("%d more, status %v", n, status)
		}
	})
}
