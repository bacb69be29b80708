package rules

func (c *checker) checkTasks() {
	for k := range c.job.Tasks {
		t := &c.job.Tasks[k]
		s := about("task", t.ID, t.Pos)
		c.title(s, "title", t.Title)
		c.text(s, "note", t.Note)
		c.checkSpread(s, t.Takes, t.Spread)
		c.checkWork(s, &t.Work, t.Places)
	}
}
