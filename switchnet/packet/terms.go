package packet

import "example.com/switchleg/conductor/rules"

// speak returns a function that puts the region's words of the trade in place of
// those the packages use.
func speak(t *rules.Terms) func(string) string { return t.Speaker() }
