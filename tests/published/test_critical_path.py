"""Worked critical paths."""

from __future__ import annotations

from planner.plan.calendar.network import network
from planner.plan.calendar.search import find_calendar
from planner.plan.calendar.values import Job, Shift, Task


def job_of(written: str) -> Job:
    """``A3 B4<A C3<B``: a name of one letter, its time, and what it comes after."""
    names, tasks, before = [], [], []
    for word in written.split():
        head, _, ahead = word.partition("<")
        names.append(head[0])
        tasks.append(Task(head[0], int(head[1:]), "shop", True, 1))
        before.append([each for each in ahead.split(",") if each])
    return Job(tuple(tasks), tuple(tuple((names.index(each), 0) for each in row) for row in before))


def critical(job: Job) -> str:
    return "".join(job.tasks[index].name for index in network(job).critical())


def test_taylor() -> None:
    """B. W. Taylor, Introduction to Management Science, ch. 8 (table): 20, slacks 2 0 2 0 4 0 0, path 1-3-4-5-6."""
    job = job_of("A7 B10 C6<A D5<B E4<B F3<C,D G2<E,F")
    assert network(job).length == 20
    assert network(job).floats() == [2, 0, 2, 0, 4, 0, 0]
    assert critical(job) == "BDFG"


def test_glpk() -> None:
    """GLPK example cpp.mod (table): 46."""
    job = job_of("A3 B4<A C3<B D10<B E8<D F4<D G6<D H8<C,E,F,G I5<H J5<H K4<I L2<J M4<K,L")
    assert network(job).length == 46


def test_house() -> None:
    """Hillier and Lieberman, Introduction to Operations Research, the house (numbers from memory): 44, ABCEFJLN."""
    job = job_of("A2 B4<A C10<B D6<C E4<C F5<E G7<D H9<E,G I7<C J8<F,I K4<J L5<J M2<H N6<K,L")
    assert network(job).length == 44
    assert critical(job) == "ABCEFJLN"


def test_one_pair_of_hands() -> None:
    """Kim, Song and Kim 2009 (Computers & OR 36:853-865), 12 tasks; one person does them in their sum, 25."""
    job = job_of("A2 B3 C2 D3<A E1<B F1<C G3<D,E H3<E I2<E,F J2<G,H K2<I L1<K")
    assert find_calendar(job, [Shift(0, 1000, "shop")]).cost.finish == 25
