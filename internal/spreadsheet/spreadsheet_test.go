package spreadsheet_test

import (
	"encoding/csv"
	"errors"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/internal/spreadsheet"
)

// tester is a test of the standard library or of rapid.
type tester interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

// cells writes a row and reads it back as RFC 4180 has it.
func cells(tb tester, row ...spreadsheet.Cell) []string {
	tb.Helper()
	var b strings.Builder
	w := spreadsheet.NewWriter(&b)
	w.Row(row...)
	if err := w.Flush(); err != nil {
		tb.Fatal(err)
	}
	text, ok := strings.CutPrefix(b.String(), "\uFEFF")
	if !ok || !strings.HasSuffix(text, "\r\n") || strings.Count(text, "\n") != 1 || strings.Count(text, "\r") != 1 || !utf8.ValidString(text) {
		tb.Fatalf("the row is written as %q", b.String())
	}
	got, err := csv.NewReader(strings.NewReader(text)).Read()
	if err != nil {
		tb.Fatalf("%v in %q", err, text)
	}
	return got
}

func TestText(t *testing.T) {
	for _, r := range []struct{ text, want, why string }{
		{"store door", "store door", "a plain name"},
		{"", "", "nothing"},
		{`say "hot", then go`, `say "hot", then go`, "quotes and commas are the format's own affair"},
		{"=cmd()", "'=cmd()", "a formula"},
		{"+1", "'+1", "so is a sum"},
		{"-2+3", "'-2+3", "and a difference"},
		{"@SUM(A1)", "'@SUM(A1)", "and a call"},
		{"\t=1", " '=1", "a tab does not hide it"},
		{"\r=1", " '=1", "nor does a carriage return"},
		{"\u200B \u202E=1", "\u200B \u202E'=1", "nor what cannot be seen"},
		{"＝1", "'＝1", "a full-width sign is a sign to some"},
		{"a;=1", "a;'=1", "a semicolon ends a cell for some"},
		{`";"=1`, `";"'=1`, "and so it does between quotes"},
		{"a;-b; +c", "a;'-b; '+c", "each of them"},
		{"slip-door = east", "slip-door = east", "a sign within a name is none"},
		{"'=1", "'=1", "what is disarmed stays so"},
		{"12/2", "'12/2", "the second of December"},
		{"14/2 cable", "14/2 cable", "no day"},
		{"3-1", "'3-1", "the first of March"},
		{"007", "'007", "a number without its zeros"},
		{"7", "7", "a number, and it reads the same"},
		{"0", "0", "so does this"},
		{"1e5", "'1e5", "a hundred thousand"},
		{"1234567890123456", "'1234567890123456", "more digits than a spreadsheet keeps"},
		{"1.10", "'1.10", "it would be 1.1"},
		{"5 %", "'5 %", "a twentieth"},
		{"$5", "'$5", "money"},
		{"2 of", "2 of", "words"},
		{"---", "'---", "signs without a number"},
		{"one\r\ntwo\x00three", "one  two three", "a cell has one line"},
		{"\xff", "\uFFFD", "no UTF-8"},
		{"מחסן", "מחסן", "right to left"},
	} {
		if got := cells(t, spreadsheet.Text("x"), spreadsheet.Text(r.text))[1]; got != r.want {
			t.Errorf("%s: %q becomes %q, want %q", r.why, r.text, got, r.want)
		}
	}
}

func TestNumber(t *testing.T) {
	for _, r := range []struct{ text, want, why string }{
		{"12.5", "12.5", "a number"},
		{"0", "0", "none"},
		{"-1", "'-1", "there are no negative counts, and a sign begins a formula"},
		{"1e5", "'1e5", "not as numbers are printed"},
		{"1.", "'1.", "no fraction"},
		{"=1", "'=1", "no number"},
		{"", "", "nothing"},
	} {
		if got := cells(t, spreadsheet.Text("x"), spreadsheet.Number(r.text))[1]; got != r.want {
			t.Errorf("%s: %q becomes %q, want %q", r.why, r.text, got, r.want)
		}
	}
}

func TestLongTexts(t *testing.T) {
	for _, r := range []struct {
		text string
		want int // units
		why  string
	}{
		{strings.Repeat("x", 10_000), 10_000, "a long name is kept"},
		{strings.Repeat("x", spreadsheet.MaxCell), spreadsheet.MaxCell, "as long as can be"},
		{strings.Repeat("x", spreadsheet.MaxCell+1), spreadsheet.MaxCell, "one too long"},
		{strings.Repeat("\U0001F4A1", spreadsheet.MaxCell/2), spreadsheet.MaxCell - 1, "two units each, as many as can be"},
		{strings.Repeat("\U0001F4A1", spreadsheet.MaxCell), spreadsheet.MaxCell, "half of them"},
		{strings.Repeat("é", spreadsheet.MaxCell), spreadsheet.MaxCell, "more bytes than units"},
	} {
		got := cells(t, spreadsheet.Text("x"), spreadsheet.Text(r.text))[1]
		if n := len(utf16.Encode([]rune(got))); n > r.want || n < r.want-1 || (n < len(utf16.Encode([]rune(r.text)))) != strings.HasSuffix(got, "...") {
			t.Errorf("%s: %d units remain", r.why, n)
		}
	}
}

// trap is what a spreadsheet would compute or convert.
var trap = regexp.MustCompile(`^[\s\p{Cf}"]*[=+\-@＝＋－＠−]|;[\s\p{Cf}"]*[=+\-@＝＋－＠−]|^[\s\p{Cf}]*[0-9]+[-/.:][0-9]+[\s\p{Cf}]*$|[\x00-\x1f\x7f]`)

func TestNoTextIsAFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ ;="+\-@\t\r\n0-9/.a\x{200B}＝]{0,8}`)).Draw(t, "text")
		got := cells(t, spreadsheet.Text("x"), spreadsheet.Text(text))[1]
		if trap.MatchString(got) {
			t.Fatalf("%q becomes %q", text, got)
		}
		if keep := strings.ReplaceAll(got, "'", ""); !trap.MatchString(text) && utf8.ValidString(text) {
			plain := strings.Map(func(r rune) rune {
				if r == '\u2028' || r == '\u2029' || r >= 0x80 && r < 0xa0 {
					return ' '
				}
				return r
			}, strings.ReplaceAll(text, "'", ""))
			if diff := cmp.Diff(plain, keep); diff != "" {
				t.Fatalf("%q becomes %q", text, got)
			}
		}
	})
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"=1", "a;=1", "\ufeff@x", "12/2", "\xff-1", "007"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := cells(t, spreadsheet.Text("x"), spreadsheet.Text(text))[1]
		if trap.MatchString(got) {
			t.Errorf("%q becomes %q", text, got)
		}
		if n := len(utf16.Encode([]rune(got))); n > spreadsheet.MaxCell {
			t.Errorf("%d units", n)
		}
	})
}

type broken struct{}

var errBroken = errors.New("broken")

func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestErrorsStay(t *testing.T) {
	w := spreadsheet.NewWriter(broken{})
	w.Row(spreadsheet.Text("x"))
	if err := w.Flush(); !errors.Is(err, errBroken) {
		t.Errorf("the error is %v", err)
	}
}
