package packet_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// table reads a table as RFC 4180 has it and wants every row as long as the first.
func table(tb testing.TB, d *packet.Document, write func(io.Writer, *packet.Document) error) [][]string {
	tb.Helper()
	var b bytes.Buffer
	if err := write(&b, d); err != nil {
		tb.Fatal(err)
	}
	text, ok := strings.CutPrefix(b.String(), "\uFEFF")
	if !ok || strings.Count(text, "\n") != strings.Count(text, "\r\n") || strings.Count(text, "\r") != strings.Count(text, "\n") {
		tb.Fatal("no byte-order mark, or lines that do not end in CR LF")
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		tb.Fatal(err)
	}
	return rows
}

// TestTakeOffCSV wants the table to say what the take-off says.
func TestTakeOffCSV(t *testing.T) {
	d := shed(t, nil)
	rows := table(t, d, packet.WriteTakeOffCSV)
	if got := strings.Join(rows[0], ","); got != "group,item,quantity,unit,pieces,cut,rule" {
		t.Errorf("without prices the columns are %s", got)
	}
	if len(rows) != 1+len(d.TakeOff.Cables)+len(d.TakeOff.Items) {
		t.Errorf("%d rows for %d cables and %d items", len(rows), len(d.TakeOff.Cables), len(d.TakeOff.Items))
	}
	if got := rows[1][:6]; !slices.Equal(got, []string{"cable", "14/2 cable", "97.13", "ft", "7", "88.3"}) {
		t.Errorf("the first row is %q", got)
	}
	for i, item := range d.TakeOff.Items {
		row := rows[1+len(d.TakeOff.Cables)+i]
		if !slices.Equal(row, []string{item.Kind.String(), item.Name, strconv.Itoa(item.Count), "each", "", "", item.Rule}) {
			t.Errorf("%+v is written %q", item, row)
		}
	}
}

// TestPricedCSV wants the costs to be there where there are prices, and their sum.
func TestPricedCSV(t *testing.T) {
	priced := func(stock string) [][]string {
		region, err := rules.Load("us-2023", rules.Overlay{Name: "p.yaml", Text: []byte("format: 1\nname: p\nstock:\n" + stock)})
		if err != nil {
			t.Fatal(err)
		}
		return table(t, shed(t, func(f *job.File) { f.Region = region }), packet.WriteTakeOffCSV)
	}
	rows := priced("  cables: {14/2: {price: 50 per 100 ft, labor: 2 per ft}}\n  supplies: {device three-way: {price: 3.1}}\n")
	if got := strings.Join(rows[0], ","); got != "group,item,quantity,unit,pieces,cut,price,cost,labor,effort,rule" {
		t.Errorf("with prices the columns are %s", got)
	}
	if got := rows[1][6:10]; !slices.Equal(got, []string{"0.5", "48.560417", "2", "176.583334"}) {
		t.Errorf("14/2 costs %q", got)
	}
	if got := rows[2][6:10]; !slices.Equal(got, []string{"", "", "", ""}) {
		t.Errorf("14/3 has no price and costs %q", got)
	}
	last := rows[len(rows)-1]
	if last[0] != "total" || last[7] != "60.960417" || last[9] != "176.583334" {
		t.Errorf("the last row is %q", last)
	}
	rows = priced("  supplies: {device three-way: {labor: 3.1}}\n")
	if got := strings.Join(rows[0], ","); got != "group,item,quantity,unit,pieces,cut,labor,effort,rule" {
		t.Errorf("with labor alone the columns are %s", got)
	}
}

func TestCablesCSV(t *testing.T) {
	d := shed(t, func(f *job.File) {
		f.Wiring.Cables[2].Length = 0
		f.Wiring.Cables[3].Installed = 1990
		f.Wiring.Opens = []wiring.Wire{{Cable: "C8", Conductor: "black"}}
	})
	rows := table(t, d, packet.WriteCablesCSV)
	for _, r := range []struct {
		row  int
		want []string
		why  string
	}{
		{0, []string{"cable", "type", "from", "to", "run", "at from", "at to", "cut", "unit", "in place", "conductors"}, "the columns"},
		{1, []string{"C1", "14/2 cable", "panel", "store-door", "8", "0.53", "0.53", "9.05", "ft", "",
			"black: hot of shed lights; white: neutral of shed lights; bare: ground"}, "a plain cable"},
		{3, []string{"C3", "14/4 cable", "slip-door", "yard-door", "", "0.53", "0.53", "", "ft", ""}, "a length that is not known"},
		{4, []string{"C4", "14/4 cable", "yard-door", "stair-foot", "18", "0.53", "0.53", "19.05", "ft", "in place"}, "a cable that lies there"},
	} {
		if got := rows[r.row]; !slices.Equal(got[:len(r.want)], r.want) {
			t.Errorf("%s: %q, want %q", r.why, got, r.want)
		}
	}
	if !strings.Contains(rows[8][10], "(open along the run)") {
		t.Errorf("C8 is open and reads %q", rows[8][10])
	}
	if len(rows) != 1+len(d.Cables) {
		t.Errorf("%d rows for %d cables", len(rows), len(d.Cables))
	}
}

// nasty are names that must come through every output as what they are.
var nasty = []string{"<script>alert(1)</script>", "=cmd()", "+1", "-5", "@SUM(A1)", `"quoted", and more`, "a;=b", "12/2", "מחסן הסירות", "{{.}}", `\n`, "'=1"}

// TestNastyNames writes a job whose boxes have nasty names in every output.
func TestNastyNames(t *testing.T) {
	renamed := map[string]string{}
	d := shed(t, func(f *job.File) {
		for i := range f.Wiring.Boxes {
			renamed[f.Wiring.Boxes[i].Name] = nasty[i]
		}
		rename(&f.Wiring, renamed)
		f.Wiring.Devices[0].Kind = switchnet.ThreeWay()
		f.Wiring.Devices[0].Kind.Name = nasty[1]
		f.Intent.Controls = nil
		f.Title = nasty[1]
	})
	d.Cables[0].From = strings.Repeat("x", 10_000)
	d.Cables[1].From = strings.Repeat("=", 40_000)
	d.Cables[2].From = "\t=1\r\n\xff"

	rows := table(t, d, packet.WriteCablesCSV)
	back := []string{}
	for _, row := range rows {
		for _, cell := range row {
			if formula.MatchString(cell) {
				t.Errorf("a spreadsheet computes %.50q", cell)
			}
		}
		back = append(back, strings.ReplaceAll(row[2], "'", ""), strings.ReplaceAll(row[3], "'", ""))
	}
	for _, c := range d.Cables[3:] {
		if !slices.Contains(back, strings.ReplaceAll(c.From, "'", "")) {
			t.Errorf("%q is lost", c.From)
		}
	}
	if rows[1][2] != d.Cables[0].From {
		t.Error("a name of 10,000 characters is not written whole")
	}
	if got := rows[2][2]; len(got) != 32767 || !strings.HasSuffix(got, "...") {
		t.Errorf("a cell has %d characters", len(got))
	}
	kinds := 0
	for _, row := range table(t, d, packet.WriteTakeOffCSV) {
		if row[1] == "'"+nasty[1] {
			kinds++
		}
		for _, cell := range row {
			if formula.MatchString(cell) {
				t.Errorf("a spreadsheet computes %q", cell)
			}
		}
	}

	if kinds != 1 {
		t.Errorf("%d devices of a kind called %s", kinds, nasty[1])
	}

	var b bytes.Buffer
	if err := packet.WriteJSON(&b, d); err != nil {
		t.Fatal(err)
	}
	var got packet.Document
	if err := json.Unmarshal(b.Bytes(), &got); err != nil || got.Boxes[0].Name != nasty[0] || got.Title != nasty[1] || got.Cables[0].From != d.Cables[0].From {
		t.Errorf("the JSON reads back as %.80q, %v", got.Boxes[0].Name, err)
	}
	s := text(t, d)
	for _, name := range nasty {
		if !strings.Contains(s, name) {
			t.Errorf("the text does not name %q", name)
		}
	}
}

// formula is what a spreadsheet computes, or takes for a day.
var formula = regexp.MustCompile(`^\s*[=+\-@]|;\s*[=+\-@]|^[0-9]+/[0-9]+$|[\t\r\n]`)

// rename gives boxes other names throughout a wiring.
func rename(s *wiring.Spec, to map[string]string) {
	for i := range s.Boxes {
		s.Boxes[i].Name = to[s.Boxes[i].Name]
	}
	for i := range s.Feeds {
		s.Feeds[i].Box = to[s.Feeds[i].Box]
	}
	for i := range s.Lights {
		s.Lights[i].Box = to[s.Lights[i].Box]
	}
	for i := range s.Devices {
		s.Devices[i].Box = to[s.Devices[i].Box]
	}
	for i := range s.Cables {
		s.Cables[i].From, s.Cables[i].To = to[s.Cables[i].From], to[s.Cables[i].To]
	}
	for i := range s.Splices {
		s.Splices[i].Box = to[s.Splices[i].Box]
	}
	for i := range s.Landings {
		s.Landings[i].Box = to[s.Landings[i].Box]
	}
	for i := range s.Tags {
		s.Tags[i].Box = to[s.Tags[i].Box]
	}
}

// TestSumCSV wants the rules and the number of jobs beside the sums, and one total.
func TestSumCSV(t *testing.T) {
	region, err := rules.Load("us-2023", rules.Overlay{Name: "p.yaml", Text: []byte("format: 1\nname: p\nstock: {supplies: {device three-way: {price: 3.1}}}\n")})
	if err != nil {
		t.Fatal(err)
	}
	one := shed(t, func(f *job.File) { f.Region = region })
	two, err := packet.SumTakeOffs([]*packet.TakeOff{&one.TakeOff, &one.TakeOff})
	if err != nil {
		t.Fatal(err)
	}
	parts := []packet.Ruled{{Rules: "us-2023", TakeOff: two}, {Rules: "=else", TakeOff: &one.TakeOff}}
	rows := table(t, one, func(w io.Writer, _ *packet.Document) error { return packet.WriteSumCSV(w, parts) })
	if got := strings.Join(rows[0], ","); got != "rules,group,item,quantity,unit,pieces,cut,jobs,price,cost,rule" {
		t.Errorf("the columns are %s", got)
	}
	n := len(two.Cables) + len(two.Items)
	if len(rows) != 2+2*n || rows[1][0] != "us-2023" || rows[1][5] != "14" || rows[1][7] != "2" || rows[1+n][0] != "'=else" {
		t.Errorf("%d rows, among them %q and %q", len(rows), rows[1], rows[1+n])
	}
	if last := rows[len(rows)-1]; last[1] != "total" || last[9] != "37.2" || last[10] != strconv.Itoa(2*(n-1))+" lines without a price" {
		t.Errorf("the last row is %q", last)
	}
}
