"""Three linear equations of a symmetric stiffness."""

from __future__ import annotations

from geom.vec import Vec

# Upper triangle of a symmetric matrix: xx, xy, xz, yy, yz, zz.
Symmetric = tuple[float, float, float, float, float, float]


def solve_symmetric(matrix: Symmetric, right: Vec) -> Vec:
    """Return x of matrix x = right for a positive definite matrix, by its L D L' factors.

    Args:
        matrix: upper triangle.
        right: three numbers.

    Raises:
        ZeroDivisionError: the matrix is singular.
    """
    xx, xy, xz, yy, yz, zz = matrix
    l_yx, l_zx = xy / xx, xz / xx
    d_y = yy - l_yx * xy
    rest = yz - l_zx * xy
    l_zy = rest / d_y
    d_z = zz - l_zx * xz - l_zy * rest
    b_y = right[1] - l_yx * right[0]
    z = (right[2] - l_zx * right[0] - l_zy * b_y) / d_z
    y = b_y / d_y - l_zy * z
    return (right[0] / xx - l_yx * y - l_zx * z, y, z)
