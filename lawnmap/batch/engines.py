"""Who does the work: this process, one process per core, or the workers of a Dask cluster."""

from __future__ import annotations

import multiprocessing
import os
import signal
import socket
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import urlsplit

from lazy_loader import load

from lawnmap.batch.model import Done, Task
from lawnmap.batch.work import carry_out
from lawnmap.errors import InputError

distributed = load("distributed")  # comes with the extra "cluster"

Job = tuple[Task, Path]
"""A task and the file that it is saved as."""


class Engine(Protocol):
    """Whoever carries tasks out."""

    def each(self, jobs: Iterable[Job]) -> Iterator[tuple[Task, Done | None]]:
        """Carry tasks out in any order; None stands for one whose worker was lost."""

    def alone(self, job: Job) -> Done | None:
        """Carry one task out with no other beside it; None where its worker was lost again."""

    def close(self) -> None:
        """Let the workers go; tasks that have not begun are dropped."""


class Serial:
    """Work in this process alone."""

    def each(self, jobs: Iterable[Job]) -> Iterator[tuple[Task, Done | None]]:
        """Carry tasks out one after the other."""
        for task, target in jobs:
            yield task, carry_out(task, target)

    def alone(self, job: Job) -> Done | None:
        """Carry one task out."""
        return carry_out(*job)

    def close(self) -> None:
        """There is no one to let go."""


class Pool:
    """Processes of this machine, started afresh, so that it works alike on every system.

    Parameters
    ----------
    processes : int
        How many. [count]
    """

    def __init__(self, processes: int) -> None:
        self.processes = processes
        self._pool = self._fresh(processes)

    @staticmethod
    def _fresh(processes: int) -> ProcessPoolExecutor:
        spawn = multiprocessing.get_context("spawn")
        return ProcessPoolExecutor(processes, mp_context=spawn, initializer=_leave_stopping_to_the_parent)

    def each(self, jobs: Iterable[Job]) -> Iterator[tuple[Task, Done | None]]:
        """Carry tasks out, two per process handed over at a time."""
        waiting = iter(jobs)
        running: dict[Future[Done], Task] = {}
        while True:
            for task, target in islice(waiting, 2 * self.processes - len(running)):
                running[self._submit(task, target)] = task
            if not running:
                return
            finished, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in finished:
                task = running.pop(future)
                try:
                    done = future.result()
                except BrokenProcessPool:
                    done = None
                yield task, done

    def _submit(self, task: Task, target: Path) -> Future[Done]:
        try:
            return self._pool.submit(carry_out, task, target)
        except BrokenProcessPool:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = self._fresh(self.processes)
            return self._pool.submit(carry_out, task, target)

    def alone(self, job: Job) -> Done | None:
        """Carry one task out in a process of its own."""
        with self._fresh(1) as pool:
            try:
                return pool.submit(carry_out, *job).result()
            except BrokenProcessPool:
                return None

    def close(self) -> None:
        """Wait for what has begun, and drop the rest."""
        self._pool.shutdown(wait=True, cancel_futures=True)


def _leave_stopping_to_the_parent() -> None:
    """Let a worker finish what it has begun when the user presses Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


class Cluster:
    """The workers of a Dask cluster, all of which see the yard files and the folder of the batch.

    Parameters
    ----------
    address : str
        Address of the scheduler, ``"tcp://10.0.0.5:8786"`` for instance.
    folder : Path
        Folder of the batch.

    Raises
    ------
    InputError
        Where Dask is not installed, nobody answers, there is no worker, or one does not see the folder.
    """

    def __init__(self, address: str, folder: Path) -> None:
        _reach(address)
        try:
            self._client: Any = distributed.Client(address, timeout="20s", set_as_default=False)
        except ModuleNotFoundError:
            raise InputError(
                "a scheduler needs Dask, which is not installed",
                mend="install lawnmap with its extra: lawnmap[cluster]",
            ) from None
        except OSError as fault:
            raise _silent(address, fault) from None
        self._check(address, folder)

    def _check(self, address: str, folder: Path) -> None:
        seen: dict[str, bool] = self._client.run(_sees, folder)
        if not seen:
            self.close()
            raise InputError(f"the scheduler at {address} has no worker", mend="start at least one")
        blind = [worker for worker, sees in seen.items() if not sees]
        if blind:
            self.close()
            raise InputError(
                f"worker {blind[0]} cannot write {folder}",
                mend="put the yard files and the results on storage that every worker sees under the same path",
            )

    def each(self, jobs: Iterable[Job]) -> Iterator[tuple[Task, Done | None]]:
        """Carry tasks out, a few per core handed over at a time; Dask itself tries one again whose worker is lost."""
        waiting = iter(jobs)
        room = 4 * max(1, sum(self._client.nthreads().values()))
        running = {self._submit(job): job[0] for job in islice(waiting, room)}
        if not running:
            return
        finished = distributed.as_completed(list(running), loop=self._client.loop)
        for future in finished:
            task = running.pop(future)
            yield task, self._result(future)
            for job in islice(waiting, 1):
                new = self._submit(job)
                running[new] = job[0]
                finished.add(new)

    def alone(self, job: Job) -> Done | None:
        """Carry one task out and wait for it."""
        return self._result(self._submit(job))

    def _submit(self, job: Job) -> Any:
        return self._client.submit(carry_out, *job, pure=False)

    @staticmethod
    def _result(future: Any) -> Done | None:
        try:
            done: Done = future.result()
        except distributed.KilledWorker:
            return None
        return done

    def close(self) -> None:
        """Let go of the scheduler."""
        self._client.close()


def _reach(address: str) -> None:
    """Refuse an address where nobody listens, sooner and in fewer words than Dask does."""
    place = urlsplit(address if "://" in address else f"tcp://{address}")
    try:
        if place.scheme not in {"tcp", "tls"} or not place.hostname or place.port is None:
            raise InputError(
                f'"{address}" is not the address of a scheduler', mend="write it as tcp://10.0.0.5:8786"
            )
        socket.create_connection((place.hostname, place.port), timeout=10).close()
    except (OSError, ValueError) as fault:
        if isinstance(fault, InputError):
            raise
        raise _silent(address, fault) from None


def _silent(address: str, fault: Exception) -> InputError:
    why = str(fault).splitlines()[0] if str(fault) else type(fault).__name__
    return InputError(
        f"no Dask scheduler answers at {address} ({why})", mend="start one, or correct the address"
    )


def _sees(folder: Path) -> bool:
    return folder.is_dir() and os.access(folder, os.W_OK)
