package conductor

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

// Every answer goes out as JSON and comes back equal, whatever became of it.
func TestAnswersAsJSON(t *testing.T) {
	us := sizerOf(t, usTable(t, "2023"))
	c := lighting("14/2")
	c.Run, c.Location = 80*quantity.Foot, "bedroom"
	hot, far, big, given := c, c, c, c
	hot.Ambient = 95 * quantity.Celsius
	far.Run = 9000 * quantity.Foot
	big.Load.Continuous = 5000 * quantity.Ampere
	given.Breaker = 20 * quantity.Ampere
	for _, answer := range []any{
		must(us.Size(c)), must(us.Size(hot)), must(us.Size(far)), must(us.Size(big)), must(us.Judge(given, AWG(14))),
		must(us.Capability(c, AWG(12))), must(us.Capability(hot, AWG(12))), must(us.LargestLoad(c, AWG(12), true)), must(us.LongestRun(c, AWG(12))),
	} {
		text, err := json.Marshal(answer)
		if err != nil {
			t.Fatalf("%+v: %v", answer, err)
		}
		if strings.Contains(string(text), "unset") || strings.Contains(string(text), "no size") {
			t.Errorf("an unset value goes out: %s", text)
		}
		back := reflect.New(reflect.TypeOf(answer))
		if err := json.Unmarshal(text, back.Interface()); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if again, err := json.Marshal(back.Elem().Interface()); err != nil || string(again) != string(text) {
			t.Errorf("comes back as\n%s\nwent out as\n%s", again, text)
		}
	}
}
