package workers

import "syscall"

// niceness is the least that lets boards have a core at once: Linux then gives plans a
// tenth of what it gives boards where both want all cores, so that they are slow, but
// not stopped.
const niceness = 10

// giveWay lowers the priority of the calling thread. Where the system refuses, plans
// share the cores with boards as equals.
func giveWay() { _ = syscall.Setpriority(syscall.PRIO_PROCESS, 0, niceness) }
