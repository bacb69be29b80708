package api

func (s *Server) checkRoutes() {}
