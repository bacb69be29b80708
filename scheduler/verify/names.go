package verify

import "gaugerod/scheduler"

// mean is the steps that a name means, written within a typical at a place, within
// a build-up at a place, or in the job: in a typical its own local names first;
// then a step; then, at a place, the instance there; else every instance.
func (c *checker) mean(name, typical, place scheduler.ID) []*step {
	if typical != "" {
		if s := c.byID[place+"."+name]; s != nil && s.typical == typical {
			return []*step{s}
		}
	}
	if s := c.byID[name]; s != nil {
		return []*step{s}
	}
	all := c.every[name]
	for _, s := range all {
		if place != "" && s.id == place+"."+s.local {
			return []*step{s}
		}
	}
	return all
}

// one is the step that a name means where one is meant, nil where there is none.
func (c *checker) one(name, place scheduler.ID) *step {
	if all := c.mean(name, "", place); len(all) == 1 {
		return all[0]
	}
	return nil
}

// points says whether a point that a person wrote is an end of this step.
func points(p scheduler.Point, s *step, end scheduler.End) bool {
	if p.End != end {
		return false
	}
	return p.Step == s.id || (s.typical != "" && p.Step == s.typical+"."+s.local)
}
