"""Three linear equations in three unknowns."""

from __future__ import annotations

from geom.vec import Vec


def solve3(matrix: list[list[float]], right: Vec) -> Vec:
    """Return x of matrix x = right, by elimination with the greatest pivot.

    Args:
        matrix: three rows of three numbers, not singular.
        right: three numbers.

    Raises:
        ZeroDivisionError: the matrix is singular.
    """
    rows = [[*matrix[i], right[i]] for i in range(3)]
    for column in range(3):
        pivot = max(range(column, 3), key=lambda i: abs(rows[i][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        for below in range(column + 1, 3):
            factor = rows[below][column] / rows[column][column]
            for j in range(column, 4):
                rows[below][j] -= factor * rows[column][j]
    z = rows[2][3] / rows[2][2]
    y = (rows[1][3] - rows[1][2] * z) / rows[1][1]
    x = (rows[0][3] - rows[0][1] * y - rows[0][2] * z) / rows[0][0]
    return (x, y, z)
