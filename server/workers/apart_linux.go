package workers

import "syscall"

// niceness is the least at which boards have a core at once: if both want all cores Linux
// then gives plans a tenth of what it gives boards, so that they are slow but not
// stopped.
const niceness = 10

// giveWay lowers the priority of the calling thread. If the system refuses, plans share
// the cores with boards equally.
func giveWay() { _ = syscall.Setpriority(syscall.PRIO_PROCESS, 0, niceness) }
