package scheduler

// EachName goes through every place in a job where a name stands.
func EachName(j *Job, visit func(at *ID)) { j.eachName(func(n naming) { visit(n.at) }) }
