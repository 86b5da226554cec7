// Package ldlt solves networks of admittances: the symmetric linear systems of
// nodal analysis, given not as a matrix but as what the matrix is made of, the
// admittance between each two nodes and from each node to known potentials.
//
//	s := ldlt.Analyze(n, pairs)   // once for a network: order and fill
//	f := s.NewFactor()            // memory for one goroutine
//	f.Factor(between, shunt)      // once for each set of values
//	f.Solve(volts, injected)
//
// The factors are those of L*D*L^T with the complex transpose left out: the
// admittance matrix is symmetric and not Hermitian. The diagonal is never given
// and never subtracted from. A node's pivot is the sum of the admittances that
// are left at it when its turn comes, as in the elimination of Grassmann, Taksar
// and Heyman ("Regenerative analysis and steady state distributions for Markov
// chains", Operations Research 33, 1985), which for positive admittances has no
// cancellation at all. So milliohm contacts and picofarad couplings may meet at
// one node, and an island joined to no known potential has a last pivot of
// exactly zero.
//
// It does not pivot for size: with no negative conductance the matrix and every
// Schur complement of it is regular where it can be. The caller checks the
// residual.
package ldlt
