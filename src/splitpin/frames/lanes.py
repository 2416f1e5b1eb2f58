"""One pixel as a vector of four lanes: red, green, blue, alpha, worked on at once.

The compiler does not find by itself that the four lanes go through the same sums. Pixels side by side are
worked on in pairs: eight lanes fill one register of most processors.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from llvmlite import ir  # type: ignore[import-untyped]
from numba import types
from numba.core import cgutils
from numba.extending import intrinsic

_LANES: Any = types.UniTuple(types.float32, 4)  # type: ignore[no-untyped-call]
_F4 = ir.VectorType(ir.FloatType(), 4)
_PAIR = ir.VectorType(ir.IntType(64), 2)
_I4 = ir.VectorType(ir.IntType(32), 4)
_H4 = ir.VectorType(ir.IntType(16), 4)


def _numbers(values: Iterable[int]) -> Any:
    values = list(values)
    return ir.Constant(ir.VectorType(ir.IntType(32), len(values)), values)


def _spread(builder: Any, pixels: Any, lanes: int = 4) -> Any:
    short, whole, real = (ir.VectorType(t, lanes) for t in (ir.IntType(16), ir.IntType(32), ir.FloatType()))
    return builder.uitofp(builder.zext(builder.bitcast(pixels, short), whole), real)


def _all(builder: Any, value: Any, lanes: int = 4) -> Any:
    nothing = ir.Constant(ir.VectorType(ir.FloatType(), lanes), ir.Undefined)
    one = builder.insert_element(nothing, value, ir.Constant(ir.IntType(32), 0))
    return builder.shuffle_vector(one, nothing, _numbers([0] * lanes))


def _pack(builder: Any, vector: Any) -> Any:
    lanes = ir.Constant(ir.ArrayType(ir.FloatType(), 4), ir.Undefined)
    for i in range(4):
        value = builder.extract_element(vector, ir.Constant(ir.IntType(32), i))
        lanes = builder.insert_value(lanes, value, i)
    return lanes


def _unpack(builder: Any, lanes: Any) -> Any:
    vector = ir.Constant(_F4, ir.Undefined)
    for i in range(4):
        value = builder.extract_value(lanes, i)
        vector = builder.insert_element(vector, value, ir.Constant(ir.IntType(32), i))
    return vector


def _blend(typing: Any, rows: Any, across: Any, down: Any) -> Any:  # noqa: ARG001
    """Rows of pixels, an even number in each, weighed across and down, to lanes 0..65535."""

    def code(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        heavy = [_all(builder, builder.extract_value(args[2], i), 8) for i in range(len(down))]
        total = None
        for j in range(0, len(across), 2):
            column = None
            for i in range(len(down)):
                row = builder.extract_value(args[0], i)
                pair = ir.Constant(_PAIR, ir.Undefined)
                for n in range(2):
                    pixel = builder.extract_value(row, j + n)
                    pair = builder.insert_element(pair, pixel, ir.Constant(ir.IntType(32), n))
                term = builder.fmul(_spread(builder, pair, 8), heavy[i])
                column = term if column is None else builder.fadd(column, term)
            left, right = (_all(builder, builder.extract_value(args[1], j + n), 4) for n in range(2))
            sides = builder.shuffle_vector(left, right, _numbers(range(8)))
            term = builder.fmul(column, sides)
            total = term if total is None else builder.fadd(total, term)
        nothing = ir.Constant(ir.VectorType(ir.FloatType(), 8), ir.Undefined)
        low = builder.shuffle_vector(total, nothing, _numbers(range(4)))
        high = builder.shuffle_vector(total, nothing, _numbers(range(4, 8)))
        return _pack(builder, builder.fadd(low, high))

    return _LANES(rows, across, down), code


def _shares6(typing: Any, place: Any, reach: Any, less: Any) -> Any:  # noqa: ARG001
    """How much of a box lies in each of six pixels: ``less · min(max(reach - |place - step|, 0), 1)`` for the
    steps -2 to 3. As a box slides over a pixel, its share of it grows, stays and falls.
    """

    def code(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        x, half, scale = (_all(builder, value, 8) for value in args)
        kind = x.type
        nothing, one = (ir.Constant(kind, [v] * 8) for v in (0.0, 1.0))
        distance = builder.fsub(x, ir.Constant(kind, [float(step) for step in range(-2, 6)]))
        share = _lesser(builder, builder.fsub(half, distance), builder.fadd(half, distance))
        share = builder.select(builder.fcmp_ordered(">", share, nothing), share, nothing)
        share = builder.fmul(_lesser(builder, share, one), scale)
        shares = ir.Constant(ir.ArrayType(ir.FloatType(), 6), ir.Undefined)
        for i in range(6):
            value = builder.extract_element(share, ir.Constant(ir.IntType(32), i))
            shares = builder.insert_value(shares, value, i)
        return shares

    real = types.float32
    return types.UniTuple(real, 6)(real, real, real), code  # type: ignore[no-untyped-call]


def _lesser(builder: Any, a: Any, b: Any) -> Any:
    return builder.select(builder.fcmp_ordered("<", a, b), a, b)


def _fetch(_typing: Any, pixels: Any, k: Any) -> Any:
    """Ask for a pixel that will be needed soon. It need not exist."""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        array = context.make_array(signature.args[0])(context, builder, args[0])
        place = builder.bitcast(builder.gep(array.data, [args[1]]), ir.IntType(8).as_pointer())
        number = ir.IntType(32)
        kind = ir.FunctionType(ir.VoidType(), [place.type, number, number, number])
        prefetch = cgutils.get_or_insert_function(builder.module, kind, "llvm.prefetch.p0")  # type: ignore[no-untyped-call]
        reading, near, data = (ir.Constant(number, n) for n in (0, 3, 1))
        builder.call(prefetch, [place, reading, near, data])
        return context.get_dummy_value()

    return types.void(pixels, k), code


def _over(typing: Any, below: Any, lanes: Any, coverage: Any) -> Any:  # noqa: ARG001
    """Source over (W3C Compositing 1, 9.1.4), to the nearest of 65536 steps.

    ``below·(1 - alpha) + lanes``, the lanes weakened by the coverage.
    """

    def code(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        source = builder.fmul(_unpack(builder, args[1]), _all(builder, args[2]))
        alpha = builder.extract_element(source, ir.Constant(ir.IntType(32), 3))
        hidden = builder.fmul(alpha, ir.Constant(ir.FloatType(), float(np.float32(1 / 65535))))
        shown = builder.fsub(ir.Constant(ir.FloatType(), 1.0), hidden)
        mixed = builder.fadd(builder.fmul(_spread(builder, args[0]), _all(builder, shown)), source)
        return _rounded(builder, mixed)

    return types.uint64(types.uint64, _LANES, types.float32), code


def _alone(typing: Any, lanes: Any) -> Any:  # noqa: ARG001
    """Lanes as a pixel, each to the nearest of 65536 steps."""

    def code(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        return _rounded(builder, _unpack(builder, args[0]))

    return types.uint64(_LANES), code


def _rounded(builder: Any, vector: Any) -> Any:
    half = _all(builder, ir.Constant(ir.FloatType(), 0.5))
    whole = builder.fptosi(builder.fadd(vector, half), _I4)
    return builder.bitcast(builder.trunc(whole, _H4), ir.IntType(64))


alone: Any = intrinsic(_alone)
blend: Any = intrinsic(_blend)
shares6: Any = intrinsic(_shares6)
fetch: Any = intrinsic(_fetch)
over: Any = intrinsic(_over)
