//go:build !unix

package allstates

import "time"

// cpuTime is not known here.
func cpuTime() time.Duration { return 0 }
