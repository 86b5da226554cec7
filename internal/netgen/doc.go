// Package netgen makes switched nets for tests: real wirings (chains, trees of
// splices, several circuits, loads in series, split receptacles, schemes that are
// no longer allowed) and then the mistakes people make in them.
//
// Nets drawn uniformly at random are almost always dead, so a test over them
// proves little. These are alive: the test of this package prints and enforces
// how many light a load, depend on several switches, short, and have loads in
// series.
//
// [Nets] draws with rapid and shrinks towards a breaker, a switch and a lamp;
// [FromBytes] reads the same choices from a byte string, for native fuzz targets;
// [Seeded] takes them from a seed, for tables and benchmarks. All three give a
// [Spec], which can be built in any order of declaration.
//
// The package is for tests in external test packages; nothing else imports it.
package netgen
