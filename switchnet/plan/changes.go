package plan

import "context"

// A Change is a change to a request that would make it feasible.
type Change struct {
	// Says is the change as a request: "allow joined commons for porch".
	Says string `json:"says"`
}

func (m *maker) changes(ctx context.Context, p *Plan) error { return ctx.Err() }
func (m *maker) compare(ctx context.Context, p *Plan) error { return ctx.Err() }
