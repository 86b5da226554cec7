package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet/identify"
)

// TestHotThatIsOff: a hot whose breaker is off hangs on its neutral at most, through
// whatever is on its circuit: what else hangs on that neutral comes not to it, and a
// tester that loads it shows nothing for sure.
func TestHotThatIsOff(t *testing.T) {
	looked := 0
	for _, name := range []string{"two circuits in two cables", "multiwire"} {
		r := rowNamed(t, name)
		d := read(t, r)
		c := d.weighed(r)
		n, _ := c.Size()
		s := c.Session()
		feeds := []string{"porch", "stair"} // numbered by name
		for i := 0; i < n; i += n / 50 {
			for e := range c.Ends() {
				for f, feed := range feeds {
					role := identify.RoleOf(s, i, e)
					if role.Function != identify.ConstantHot || role.Of != feed {
						continue
					}
					looked++
					if _, volts, _ := identify.Model(s, i, e, e, [2]int{}, 1<<f); volts[identify.None] != 1 {
						t.Errorf("%s, possibility %d: with %s off its hot, %v, comes to %v", name, i, feed, c.Ends()[e], volts)
					}
					if _, volts, _ := identify.Model(s, i, e, e, [2]int{}, 1<<(1-f)); volts[identify.OneLine] != 1 {
						t.Errorf("%s, possibility %d: with the other off the hot of %s, %v, comes to %v", name, i, feed, c.Ends()[e], volts)
					}
				}
			}
		}
	}
	if looked < 100 {
		t.Errorf("%d hots were looked at", looked)
	}
}
