"""Whoever does the work, the figures are the same, and a lost worker costs a retry and not a yard."""

import os
import signal

import pytest
from pyarrow import parquet

from lawnmap.batch import Options, run
from lawnmap.batch.engines import Cluster, Pool, Serial
from lawnmap.batch.model import Done
from lawnmap.batch.run import _recover
from lawnmap.batch.store import Store
from lawnmap.batch.worklist import make_worklist
from lawnmap.errors import InputError
from lawnmap.job import Choices, General

QUICK = Choices(general=General(leave_out=("lanes",)))


class Deadly:
    """Choices that end the worker that unpickles them: every time, or only the first time, where they leave a mark."""

    def __init__(self, mark=None):
        self.mark = mark

    def __reduce__(self):
        end = "os._exit(1)" if self.mark is None else "mark.exists() or (mark.touch(), os._exit(1))"
        code = f"import os, pathlib\nmark = pathlib.Path({str(self.mark)!r})\nif os.getpid() != {os.getpid()}: {end}"
        return eval, (f"(exec({code!r}), __import__('lawnmap.job').job.Choices())[1]",)


def listed(town, tmp_path, count):
    path = town(count).save(tmp_path / "town.gpkg")
    worklist = make_worklist([path], QUICK, Options(yards_per_task=2), None)
    store = Store(tmp_path / "out", "made-for-the-test")
    store.begin()
    return worklist, store


@pytest.fixture
def pool():
    found = Pool(2)
    yield found
    found.close()


def test_a_killed_worker_costs_a_retry(town, tmp_path, pool):
    worklist, store = listed(town, tmp_path, 6)
    worklist.files[0].own["lot 2"] = Deadly(tmp_path / "mark")
    tasks = [worklist.task(number) for number in range(3)]
    lost = []
    for task, done in pool.each((task, store.chunk(task.number)) for task in tasks):
        if done is None:
            lost.append(task.number)
        assert (done or _recover(pool, task.number, worklist, store)) == Done(task.number, 2, 0)
    assert 1 in lost
    assert [store.done(number) for number in range(3)] == [Done(number, 2, 0) for number in range(3)]


def test_a_yard_that_kills_every_worker_is_refused_alone(town, tmp_path, pool):
    worklist, store = listed(town, tmp_path, 2)
    worklist.files[0].own["lot 1"] = Deadly()
    task = worklist.task(0)
    (pair,) = pool.each([(task, store.chunk(0))])
    assert pair == (task, None)
    done = _recover(pool, task.number, worklist, store)
    assert done == Done(0, 2, 1)
    rows = {row["yard"]: row for row in store_rows(store)}
    assert rows["lot 0"]["status"] == "planned"
    assert "the process that worked on it ended every time" in rows["lot 1"]["reason"]


def store_rows(store):
    return parquet.read_table(store.chunk(0)).to_pylist()


def test_one_process_does_the_same(town, tmp_path):
    worklist, store = listed(town, tmp_path, 2)
    engine = Serial()
    ((_, done),) = engine.each([(worklist.task(0), store.chunk(0))])
    assert done == engine.alone((worklist.task(0), store.chunk(0))) == Done(0, 2, 0)
    engine.close()


distributed = pytest.importorskip("distributed", reason="Dask is not installed: the extra cluster brings it")


@pytest.fixture(scope="module")
def cluster():
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as found:
        yield found


def test_a_cluster_gives_the_same_figures(planned, sample, sample_choices, tmp_path, cluster):
    options = Options(scheduler=cluster.scheduler_address, yards_per_task=4)
    report = run([sample], tmp_path / "out", sample_choices, options)
    assert report.totals.to_dict() == planned.totals.to_dict()


def test_a_worker_of_a_cluster_that_is_killed(town, tmp_path, cluster):
    worklist, store = listed(town, tmp_path, 8)
    engine = Cluster(cluster.scheduler_address, tmp_path)
    pids = list(engine._client.run(os.getpid).values())

    def jobs():
        yield from ((worklist.task(number), store.chunk(number)) for number in range(4))
        os.kill(pids[0], signal.SIGKILL)  # its tasks have been handed over by now

    found = [done or _recover(engine, task.number, worklist, store) for task, done in engine.each(jobs())]
    engine.close()
    assert sorted(done.number for done in found) == [0, 1, 2, 3]
    assert all((done.yards, done.refused) == (2, 0) for done in found)


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("tcp://127.0.0.1:9", r"no Dask scheduler answers at tcp://127\.0\.0\.1:9 \("),
        ("127.0.0.1:9", "no Dask scheduler answers at 127"),
        ("nonsense://1.2.3.4:5", '"nonsense://1.2.3.4:5" is not the address of a scheduler'),
        ("tcp://1.2.3.4", '"tcp://1.2.3.4" is not the address of a scheduler'),
        ("tcp://1.2.3.4:port", "no Dask scheduler answers"),
    ],
)
def test_nobody_answers(town, tmp_path, address, words):
    path = town(1).save(tmp_path / "town.gpkg")
    with pytest.raises(InputError, match=words):
        run([path], tmp_path / "out", QUICK, Options(scheduler=address))
