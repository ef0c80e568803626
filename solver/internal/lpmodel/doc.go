// Package lpmodel checks the search against general solvers: it writes rip problems as
// mixed-integer programmes and solves them by GLPK, CBC and HiGHS with gaps of 0. Its
// tests need those programmes and the build tag verify, see .ci/verify; the benchmark
// compares times with those that are installed.
package lpmodel
