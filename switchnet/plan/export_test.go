package plan

// Short returns options that leave a search so little to do that it is exhaustive for the
// smallest requests alone.
func Short() *Options { return &Options{Limit: 1, prices: 1} }
