package rules

import "gaugerod/scheduler"

func (c *checker) checkPeople() {
	for k := range c.job.People {
		p := &c.job.People[k]
		s := about("person", p.ID, p.Pos)
		c.title(s, "name", p.Name)
		choice(c, s, "role", "role", p.Role, scheduler.Roles)
		if p.Trade != "" {
			c.known(s, "trade", p.Trade, &c.trades)
		}
	}
}

// person checks that somebody is named under by and is one of the people.
func (c *checker) person(s subject, id scheduler.ID, why string) {
	const field = "by"
	switch {
	case id == "":
		c.fault(s, field, "", "does not say who "+why, "name one of the people under "+field)
	case !c.people.has(id) && c.trades.has(id):
		c.fault(s, field, string(id), "names the trade "+quoted(id)+" where a person is needed", "name one of the people, who may belong to that trade")
	default:
		c.known(s, field, id, &c.people)
	}
}

// somebody checks a trade or a person, where one is named.
func (c *checker) somebody(s subject, field string, id scheduler.ID) {
	if id != "" {
		c.known(s, field, id, &c.trades, &c.people)
	}
}
