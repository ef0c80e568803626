package workers

import "syscall"

// least is the least of the priorities that share a core by weight, a seventieth of
// an ordinary thread's: plans are slow where boards want every core, but not stopped.
const least = 19

// giveWay lowers the priority of the calling thread. Where the system refuses, plans
// share the cores with boards as equals.
func giveWay() { _ = syscall.Setpriority(syscall.PRIO_PROCESS, 0, least) }
