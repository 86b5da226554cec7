package packet

import (
	"math/big"
	"testing"
)

func TestLitIn(t *testing.T) {
	for _, tt := range []struct{ reason, lit, states, want string }{
		{"numbers that can be read", "16", "32", "lit in 16 of 32 settings"},
		{"as many as six digits", "262144", "524288", "lit in 262144 of 524288 settings"},
		{"half of more than that", "549755813888", "1099511627776", "lit in half of all settings"},
		{"one more than half is not half", "549755813889", "1099511627776", "lit in 549755813889 of 1099511627776 settings"},
		{"too long to read", "3", "1267650600228229401496703205376", "lit in 3 of 126765... (31 digits) settings"},
	} {
		lit, _ := new(big.Int).SetString(tt.lit, 10)
		states, _ := new(big.Int).SetString(tt.states, 10)
		if got := litIn(lit, states); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.reason, got, tt.want)
		}
	}
}
