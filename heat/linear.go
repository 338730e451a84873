package heat

import "math"

// system is a symmetric set of equations of a mesh, one a cell: diag x_c − sum off x_neighbour = rhs.
// It is solved by conjugate gradients with a modified incomplete Cholesky factor (Gustafsson 1978),
// which for a body that conducts along one direction is the exact factor.
type system struct {
	mesh    *mesh
	diag    []float64
	off     [3][]float64 // to the cell one stride further, at or above 0
	inverse []float64    // of the factor's diagonal
	x, rhs  []float64
	r, z    []float64
	p, ap   []float64
	dims    []int // those that have neighbours, but the fastest
}

// modified is the part of the dropped fill that goes to the diagonal: below 1 for safety.
const modified = 0.97

func newSystem(m *mesh) *system {
	n := len(m.volume)
	s := &system{mesh: m}
	for _, v := range []*[]float64{&s.diag, &s.inverse, &s.x, &s.rhs, &s.r, &s.z, &s.p, &s.ap} {
		*v = make([]float64, n)
	}
	for d := range m.n {
		if m.links[d] == nil {
			continue
		}
		s.off[d] = make([]float64, n)
		if d < 2 {
			s.dims = append(s.dims, d)
		}
	}
	return s
}

// factor computes the incomplete factor of the matrix.
func (s *system) factor() {
	m := s.mesh
	copy(s.inverse, s.diag)
	for c := range s.inverse {
		d := 1 / s.inverse[c]
		s.inverse[c] = d
		sum := 0.0
		for k := range s.off {
			if s.off[k] != nil {
				sum += s.off[k][c]
			}
		}
		if sum == 0 {
			continue
		}
		for k := range s.off {
			if s.off[k] == nil {
				continue
			}
			if a := s.off[k][c]; a > 0 {
				s.inverse[c+m.stride[k]] -= a * d * (a + modified*(sum-a))
			}
		}
	}
}

// precondition sets z to the solution of the factored system for r.
func (s *system) precondition() {
	m := s.mesh
	nz := m.n[2]
	cells := len(s.z)
	copy(s.z, s.r)
	along := s.off[2]
	for c0 := 0; c0 < cells; c0 += nz {
		row := s.z[c0 : c0+nz]
		for _, k := range s.dims {
			if from := c0 - m.stride[k]; from >= 0 {
				off, before := s.off[k][from:from+nz], s.z[from:from+nz]
				for i := range row {
					row[i] += off[i] * before[i]
				}
			}
		}
		inverse := s.inverse[c0 : c0+nz]
		last := row[0] * inverse[0]
		row[0] = last
		if along != nil {
			off := along[c0 : c0+nz]
			for i := 1; i < nz; i++ {
				last = (row[i] + off[i-1]*last) * inverse[i]
				row[i] = last
			}
		}
	}
	for c0 := cells - nz; c0 >= 0; c0 -= nz {
		row, inverse := s.z[c0:c0+nz], s.inverse[c0:c0+nz]
		for _, k := range s.dims {
			if next := c0 + m.stride[k]; next < cells {
				off, after := s.off[k][c0:c0+nz], s.z[next:next+nz]
				for i := range row {
					row[i] += off[i] * after[i] * inverse[i]
				}
			}
		}
		if along != nil {
			off := along[c0 : c0+nz]
			last := row[nz-1]
			for i := nz - 2; i >= 0; i-- {
				last = row[i] + off[i]*last*inverse[i]
				row[i] = last
			}
		}
	}
}

// multiply sets ap to the matrix times p and returns p·ap.
func (s *system) multiply() float64 {
	for c, d := range s.diag {
		s.ap[c] = d * s.p[c]
	}
	for k, off := range s.off {
		if off == nil {
			continue
		}
		step := s.mesh.stride[k]
		a, b := s.p[:len(s.p)-step], s.p[step:]
		qa, qb := s.ap[:len(a)], s.ap[step:step+len(a)]
		off = off[:len(a)]
		b = b[:len(a)]
		qb = qb[:len(a)]
		for c, o := range off {
			qa[c] -= o * b[c]
			qb[c] -= o * a[c]
		}
	}
	return dot(s.p, s.ap)
}

// solve sets x so that the residual is the part tolerance of rhs, by the factor's own measure. It
// reports false if stop does, or after 500 rounds.
func (s *system) solve(tolerance float64, stop func() bool) bool {
	clear(s.x)
	copy(s.r, s.rhs)
	s.precondition()
	copy(s.p, s.z)
	rz := dot(s.r, s.z)
	goal := rz * tolerance * tolerance
	for range 500 {
		if !(rz > goal) {
			return !math.IsNaN(rz)
		}
		if stop() {
			return false
		}
		alpha := rz / s.multiply()
		for c := range s.x {
			s.x[c] += alpha * s.p[c]
			s.r[c] -= alpha * s.ap[c]
		}
		s.precondition()
		next := dot(s.r, s.z)
		beta := next / rz
		rz = next
		for c := range s.p {
			s.p[c] = s.z[c] + beta*s.p[c]
		}
	}
	return false
}

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}
