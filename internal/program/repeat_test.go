package program_test

import (
	"strings"
	"testing"

	"example.com/switchleg/internal/program"
)

// A flag that is given twice is refused, for only its last value would count, and so
// is one after an argument that is none, for it would not be read at all.
func TestFlagsOnceAndFirst(t *testing.T) {
	for _, r := range []struct {
		args []string
		said string
		why  string
	}{
		{[]string{"-size", "3", "-deep", "-set", "a", "-set", "b", "x", "-y", "-"}, "",
			"a flag that gathers may come again, and what looks like a flag and is none is an argument"},
		{[]string{"-size", "3", "-deep", "--size=4", "-deep=false", "-size", "5"},
			"try: -deep: given more than once, and only the last would count; write it once\n" +
				"try: -size: given more than once, and only the last would count; write it once\n" +
				"try -h tells the flags.\n",
			"with every way to write a flag"},
		{[]string{"-size", "3", "red", "-deep", "--size=4"},
			"try: \"-deep\" stands after \"red\"; write flags first\n" +
				"try: \"--size=4\" stands after \"red\"; write flags first\n" +
				"try -h tells the flags.\n",
			"flag reading stops at the first argument"},
	} {
		var errs strings.Builder
		p := start(&errs)
		deep := p.Flags.Bool("deep", false, "deep")
		var set []string
		p.Flags.Func("set", "gathers", func(text string) error { set = append(set, text); return nil })
		status, ok := p.Parse(r.args)
		if ok != (r.said == "") || errs.String() != r.said || !ok && status != program.Misused {
			t.Errorf("%s: %d, %v, %q", r.why, status, ok, errs.String())
		}
		if r.said == "" && (!*deep || len(set) != 2 || p.Flags.Lookup("size").Value.String() != "3") {
			t.Errorf("%s: the values are lost: %v, %v", r.why, *deep, set)
		}
	}
}
