package enum_test

import (
	"strings"
	"testing"

	"example.com/switchleg/internal/enum"
)

type tide uint8

func words() []string { return []string{"", "ebb", "flood"} }

// Every value is read back from its word, and what has none is an error that says so.
func TestWords(t *testing.T) {
	for v := tide(1); v <= 2; v++ {
		text, err := enum.Marshal("shed", words(), v, "tide")
		var back tide
		if err != nil || enum.Unmarshal("shed", words(), text, "tide", &back) != nil || back != v || enum.Word(words(), v, "tide") != string(text) {
			t.Errorf("%d is written %q and read %d, %v", v, text, back, err)
		}
	}
	for _, v := range []tide{0, 3, 255} {
		if _, err := enum.Marshal("shed", words(), v, "tide"); err == nil || !strings.HasPrefix(err.Error(), "shed: ") {
			t.Errorf("%d: %v", v, err)
		}
	}
	if got := enum.Word(words(), tide(9), "Tide"); got != "Tide(9)" {
		t.Error(got)
	}
	for _, text := range []string{"", "slack"} {
		v := tide(2)
		err := enum.Unmarshal("shed", words(), []byte(text), "tide", &v)
		if err == nil || v != 2 || !strings.Contains(err.Error(), "ebb, flood") {
			t.Errorf("%q: %v, %v", text, v, err)
		}
	}
}
