package fleet

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// settings of the proxy, the very ones that are to be used.
const settings = "../haproxy.cfg"

// proxy is the proxy in front of the instances.
type proxy struct {
	process *process
	address string         // HOST:PORT of HTTPS
	plain   string         // of HTTP
	trusted *x509.CertPool // its certificate
}

func newProxy(folder string, instances []*instance) (*proxy, error) {
	program, err := exec.LookPath("haproxy")
	if err != nil {
		program = "/usr/sbin/haproxy" // not on the path of every user
	}
	ports, err := freePorts(2)
	if err != nil {
		return nil, err
	}
	p := &proxy{address: ports[0], plain: ports[1], trusted: x509.NewCertPool()}
	file := filepath.Join(folder, "tls.pem")
	if err := p.certify(file); err != nil {
		return nil, err
	}
	env := append(bare(), "GAUGEROD_HTTPS="+p.address, "GAUGEROD_HTTP="+p.plain, "GAUGEROD_TLS="+file)
	for k, i := range instances {
		env = append(env, fmt.Sprintf("GAUGEROD_INSTANCE_%d=%s", k+1, i.address))
	}
	cfg, err := filepath.Abs(settings)
	if err != nil {
		return nil, err
	}
	if p.process, err = run(folder, "haproxy", syscall.SIGKILL, nil, env, program, "-db", "-f", cfg); err != nil {
		return nil, fmt.Errorf("%w: deploy/need haproxy=haproxy", err)
	}
	return p, until("start the proxy", func() error {
		if !p.process.running() {
			return fmt.Errorf("it has ended: %s", tail(p.process.said, 20))
		}
		conn, err := net.Dial("tcp", p.address)
		if err != nil {
			return err
		}
		return conn.Close()
	})
}

// certify makes a certificate for this machine, signed by itself.
func (p *proxy) certify(file string) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	paper := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "fleet"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour), IsCA: true, BasicConstraintsValid: true,
	}
	made, err := x509.CreateCertificate(rand.Reader, paper, paper, key.Public(), key)
	if err != nil {
		return err
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	text := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: made})
	p.trusted.AppendCertsFromPEM(text)
	text = append(text, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: private})...)
	return os.WriteFile(file, text, 0o600)
}

// freePorts is addresses of this machine on which nobody listens.
func freePorts(n int) ([]string, error) {
	var all []string
	for range n {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return nil, err
		}
		defer l.Close() // all at the end, so that none is given twice
		all = append(all, l.Addr().String())
	}
	return all, nil
}
