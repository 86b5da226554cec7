package check_test

import (
	"os"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/check"
)

// TestOverloadedToldRoundedUp holds that what a circuit needs is never told as what it has.
func TestOverloadedToldRoundedUp(t *testing.T) {
	src, err := os.ReadFile(codesDir + "/overloaded/1600-w.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for load, want := range map[string]string{"1440 W": "", "1441 W": "ask for a breaker of 15.1 A", "1600 W": "ask for a breaker of 16.7 A"} {
		f, j := read(t, "overloaded.yaml", []byte(strings.ReplaceAll(string(src), "1600 W", load)))
		got := ""
		for _, x := range run(t, j, check.Edition(f.Region)) {
			if x.Code == "overloaded" {
				got = x.Message
			}
		}
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", load, got, want)
		}
	}
}
