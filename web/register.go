package web

import "github.com/labstack/echo/v4"

// Register puts every page and form on its route. Who may use it is said where all
// routes are, in package rights.
func (p *Pages) Register(e *echo.Echo) error {
	e.GET("/static/*", p.static)
	e.GET("/", p.jobs)
	e.GET("/words", p.words)
	e.GET("/you", p.you)
	e.POST("/you", p.describeYou)
	e.POST("/you/password", p.setPassword)
	e.POST("/you/sessions", p.endSession)
	e.POST("/you/device", p.newDevice)

	m := e.Group("/mine")
	m.GET("", p.mine)
	m.POST("/windows/:window/confirm", p.confirmMine)
	m.POST("/windows/:window/cannot-come", p.cannotCome)
	m.POST("/steps/:step/progress", p.tellProgress)

	j := e.Group("/jobs/:job")
	j.GET("", p.week)
	j.POST("/as-of", p.moveOn)
	j.GET("/places", p.placesOverTime)
	j.GET("/alerts", p.alerts)
	j.POST("/alerts/aside", p.setAside)
	j.POST("/alerts/back", p.bringBack)
	j.GET("/orders", p.orders)
	j.GET("/trades", p.trades)
	j.GET("/trades-over-time", p.tradesOverTime)
	j.GET("/trades/:trade", p.trade)
	j.POST("/trades/:trade/said", p.said)
	j.GET("/issued", p.issued)
	j.POST("/issued", p.issue)
	j.GET("/layers", p.layers)
	j.GET("/layers/:buildup/order", p.previewLayer)
	j.POST("/layers/:buildup/order", p.orderLayers)
	j.GET("/history", p.history)
	j.GET("/revisions/:revision/file", p.pastFile)
	j.POST("/undo", p.undo)

	j.GET("/people", p.whoIsWho)
	j.POST("/people", p.invite)
	j.POST("/people/:account", p.changeSeat)
	j.POST("/people/:account/link", p.handOver)
	j.POST("/links", p.makeLink)
	j.POST("/links/:link/revoke", p.revokeLink)
	j.GET("/attachments/:attachment", p.attachment)
	j.POST("/attachments/:attachment/remove", p.removeAttachment)

	j.GET("/edit", p.model)
	j.GET("/edit/:kind", p.editList)
	j.GET("/edit/:kind/:thing", p.editThing)
	j.POST("/edit/:kind/:thing", p.keepThing)
	j.GET("/edit/:kind/:thing/:part/:inner", p.editThing)
	j.POST("/edit/:kind/:thing/:part/:inner", p.keepThing)
	j.GET("/design/:kind/:thing", p.designThing)
	j.POST("/design/:kind/:thing", p.keepDesign)

	s := j.Group("/steps/:step")
	s.GET("", p.step)
	s.POST("/attach", p.attach)
	s.POST("/release", p.release)
	s.POST("/refuse", p.refuse)
	s.POST("/book", p.book)
	s.POST("/expect", p.expect)
	s.POST("/progress", p.progress)
	s.POST("/take-back", p.takeBack)
	return nil
}
