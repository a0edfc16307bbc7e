"""The forward-backward passes of `lfmmi` as GPU kernels: one program walks one utterance through all its frames.

A loop in torch launches some ten small kernels per frame and direction; at 200 frames those launches, not arithmetic,
fill the training time. Here a program keeps its utterance's state in registers and passes it between threads through
a small scratch buffer, one barrier per frame. `tests/model/test_training_lfmmi.py` holds both to the same numbers.
"""

import torch
import triton
import triton.language as tl

from lfmmi import Denominator, NumeratorBatch, Occupation, emissions, gather_posteriors

WARPS = 8


@triton.jit(do_not_specialize=["steps"])
def _numerator_forward(
    first, further, lengths, initial, links, link_weights, scratch, entering, staying, log_scales,
    steps, n, fan_in: tl.constexpr, block: tl.constexpr,
):
    """States of every frame, scaled to sum 1, and the logs of the scales. Layouts: (N, T, n); links (N, fan_in,
    n)."""
    row = tl.program_id(0)
    count = tl.num_programs(0)
    length = tl.load(lengths + row)
    arc = tl.arange(0, block)
    valid = arc < n
    base = row.to(tl.int64) * steps * n
    enter = tl.load(initial + row * n + arc, valid, 0.0).to(tl.float64)
    enter = enter * tl.load(first + base + arc, valid, 0.0).to(tl.float64)
    stay = tl.zeros([block], tl.float64)
    for t in range(length):
        frame = base + t * n + arc
        if t > 0:
            here = enter + stay
            room = scratch + ((t % 2) * count + row) * n
            tl.store(room + arc, here, valid)
            tl.debug_barrier()
            into = tl.zeros([block], tl.float64)
            for k in tl.static_range(fan_in):
                link = (row * fan_in + k) * n + arc
                source = tl.load(links + link, valid, 0)
                into += tl.load(room + source, valid, 0.0) * tl.load(link_weights + link, valid, 0.0).to(tl.float64)
            enter = into * tl.load(first + frame, valid, 0.0).to(tl.float64)
            stay = here * tl.load(further + frame, valid, 0.0).to(tl.float64)
        scale = tl.maximum(tl.sum(enter + stay, 0), 1e-290)
        enter = enter / scale
        stay = stay / scale
        tl.store(entering + frame, enter, valid)
        tl.store(staying + frame, stay, valid)
        tl.store(log_scales + row * steps + t, tl.log(scale))


@triton.jit(do_not_specialize=["steps"])
def _numerator_backward(
    first, further, lengths, final, links, link_weights, scratch, entering, staying,
    steps, n, fan_out: tl.constexpr, block: tl.constexpr,
):
    """Turn `entering` and `staying` in place into unnormalised posteriors."""
    row = tl.program_id(0)
    count = tl.num_programs(0)
    length = tl.load(lengths + row)
    arc = tl.arange(0, block)
    valid = arc < n
    base = row.to(tl.int64) * steps * n
    after = tl.load(final + row * n + arc, valid, 0.0).to(tl.float64)
    for back in range(length):
        t = length - 1 - back
        frame = base + t * n + arc
        if back > 0:
            room = scratch + ((back % 2) * count + row) * n
            tl.store(room + arc, after * tl.load(first + frame + n, valid, 0.0).to(tl.float64), valid)
            tl.debug_barrier()
            total = after * tl.load(further + frame + n, valid, 0.0).to(tl.float64)
            for m in tl.static_range(fan_out):
                link = (row * fan_out + m) * n + arc
                target = tl.load(links + link, valid, 0)
                total += tl.load(room + target, valid, 0.0) * tl.load(link_weights + link, valid, 0.0).to(tl.float64)
            after = total
        after = after / tl.maximum(tl.sum(after, 0), 1e-290)
        tl.store(entering + frame, tl.load(entering + frame, valid, 0.0) * after, valid)
        tl.store(staying + frame, tl.load(staying + frame, valid, 0.0) * after, valid)


@triton.jit
def _times_matrix(room, weights, column, valid, n, block: tl.constexpr, tile_rows: tl.constexpr):
    """Row vector in `room` times an (n, n) matrix."""
    result = tl.zeros([block], tl.float32)
    for top in range(0, n, tile_rows):
        index = top + tl.arange(0, tile_rows)
        part = tl.load(room + index, index < n, 0.0)
        tile = tl.load(
            weights + index[:, None] * n + column[None, :], (index < n)[:, None] & valid[None, :], 0.0
        )
        result += tl.sum(part[:, None] * tile, 0)
    return result


@triton.jit(do_not_specialize=["steps"])
def _denominator_forward(
    first, further, lengths, initial, weights, scratch, entering, staying, log_scales,
    steps, n, block: tl.constexpr, tile_rows: tl.constexpr,
):
    row = tl.program_id(0)
    count = tl.num_programs(0)
    length = tl.load(lengths + row)
    arc = tl.arange(0, block)
    valid = arc < n
    base = row.to(tl.int64) * steps * n
    enter = tl.load(initial + arc, valid, 0.0) * tl.load(first + base + arc, valid, 0.0)
    stay = tl.zeros([block], tl.float32)
    for t in range(length):
        frame = base + t * n + arc
        if t > 0:
            here = enter + stay
            room = scratch + ((t % 2) * count + row) * n
            tl.store(room + arc, here, valid)
            tl.debug_barrier()
            into = _times_matrix(room, weights, arc, valid, n, block, tile_rows)
            enter = into * tl.load(first + frame, valid, 0.0)
            stay = here * tl.load(further + frame, valid, 0.0)
        scale = tl.maximum(tl.sum(enter + stay, 0), 1e-37)
        enter = enter / scale
        stay = stay / scale
        tl.store(entering + frame, enter, valid)
        tl.store(staying + frame, stay, valid)
        tl.store(log_scales + row * steps + t, tl.log(scale).to(tl.float64))


@triton.jit(do_not_specialize=["steps"])
def _denominator_backward(
    first, further, lengths, final, transposed, scratch, entering, staying,
    steps, n, block: tl.constexpr, tile_rows: tl.constexpr,
):
    row = tl.program_id(0)
    count = tl.num_programs(0)
    length = tl.load(lengths + row)
    arc = tl.arange(0, block)
    valid = arc < n
    base = row.to(tl.int64) * steps * n
    after = tl.load(final + arc, valid, 0.0)
    for back in range(length):
        t = length - 1 - back
        frame = base + t * n + arc
        if back > 0:
            room = scratch + ((back % 2) * count + row) * n
            tl.store(room + arc, after * tl.load(first + frame + n, valid, 0.0), valid)
            tl.debug_barrier()
            after = after * tl.load(further + frame + n, valid, 0.0)
            after += _times_matrix(room, transposed, arc, valid, n, block, tile_rows)
        after = after / tl.maximum(tl.sum(after, 0), 1e-37)
        tl.store(entering + frame, tl.load(entering + frame, valid, 0.0) * after, valid)
        tl.store(staying + frame, tl.load(staying + frame, valid, 0.0) * after, valid)


def _gathered(outputs: torch.Tensor, pdfs: torch.Tensor) -> torch.Tensor:
    return torch.gather(outputs, 2, pdfs.unsqueeze(1).expand(-1, outputs.shape[1], -1)).contiguous()


def _finish(lengths, final, best, log_scales, last, gammas, forward_pdfs, loop_pdfs, pdf_count, tiny) -> Occupation:
    _count, steps = best.shape
    inside = torch.arange(steps, device=best.device)[None] < lengths[:, None]
    log_scales = torch.where(inside, log_scales, 0.0)
    ending = (last.double() * final.double()).sum(1)
    log_probability = (log_scales + best.double() * inside).sum(1) + ending.clamp(min=tiny).log()
    reached = (ending > tiny * 10) & torch.isfinite(log_probability) & (log_scales > -660).all(1)
    entering, staying = (torch.where(inside[:, :, None], gamma, 0.0).transpose(0, 1) for gamma in gammas)
    posteriors = gather_posteriors(entering, staying, forward_pdfs, loop_pdfs, inside.t(), pdf_count)
    return Occupation(log_probability, posteriors, reached)


@torch.no_grad()
def numerator_occupation(outputs: torch.Tensor, lengths: torch.Tensor, batch: NumeratorBatch) -> Occupation:
    """As `lfmmi.numerator_occupation`."""
    scaled, best = emissions(outputs.float())
    first, further = _gathered(scaled, batch.forward_pdfs), _gathered(scaled, batch.loop_pdfs)
    count, steps, n = first.shape
    block = triton.next_power_of_2(n)
    double = {"dtype": torch.float64, "device": outputs.device}
    entering, staying = torch.empty(count, steps, n, **double), torch.empty(count, steps, n, **double)
    log_scales, scratch = torch.zeros(count, steps, **double), torch.empty(2, count, n, **double)
    lengths = lengths.to(torch.int32)
    _numerator_forward[(count,)](
        first, further, lengths, batch.initial, batch.sources, batch.source_weights, scratch, entering, staying,
        log_scales, steps, n, fan_in=batch.sources.shape[1], block=block, num_warps=WARPS,
    )
    rows = torch.arange(count, device=outputs.device)
    last = entering[rows, lengths.long() - 1] + staying[rows, lengths.long() - 1]
    _numerator_backward[(count,)](
        first, further, lengths, batch.final, batch.targets, batch.target_weights, scratch, entering, staying,
        steps, n, fan_out=batch.targets.shape[1], block=block, num_warps=WARPS,
    )
    return _finish(
        lengths, batch.final, best, log_scales, last, (entering, staying), batch.forward_pdfs, batch.loop_pdfs,
        outputs.shape[2], 1e-290,
    )


@torch.no_grad()
def denominator_occupation(outputs: torch.Tensor, lengths: torch.Tensor, den: Denominator) -> Occupation:
    """As `lfmmi.denominator_occupation`, in float32."""
    scaled, best = emissions(outputs.float())
    count = len(outputs)
    forward_pdfs, loop_pdfs = den.forward_pdfs.expand(count, -1), den.loop_pdfs.expand(count, -1)
    first, further = scaled[:, :, den.forward_pdfs].contiguous(), scaled[:, :, den.loop_pdfs].contiguous()
    _, steps, n = first.shape
    block = triton.next_power_of_2(n)
    entering, staying = torch.empty_like(first), torch.empty_like(first)
    log_scales = torch.zeros(count, steps, dtype=torch.float64, device=outputs.device)
    scratch = torch.empty(2, count, n, device=outputs.device)
    lengths = lengths.to(torch.int32)
    _denominator_forward[(count,)](
        first, further, lengths, den.initial, den.weights.contiguous(), scratch, entering, staying, log_scales,
        steps, n, block=block, tile_rows=32, num_warps=WARPS,
    )
    rows = torch.arange(count, device=outputs.device)
    last = entering[rows, lengths.long() - 1] + staying[rows, lengths.long() - 1]
    _denominator_backward[(count,)](
        first, further, lengths, den.final, den.weights.t().contiguous(), scratch, entering, staying,
        steps, n, block=block, tile_rows=32, num_warps=WARPS,
    )
    final = den.final.expand(count, -1)
    return _finish(
        lengths, final, best, log_scales, last, (entering, staying), forward_pdfs, loop_pdfs, outputs.shape[2], 1e-37
    )
