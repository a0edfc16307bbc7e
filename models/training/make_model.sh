#!/usr/bin/env bash
# From corpora to a model folder:  make_model.sh SPEECH WORK MODEL [SECONDS [further options of train.py]]
# SPEECH holds an4/ spelled/ orders/ books/; WORK keeps what is made on the way (run again to go on); MODEL is the
# Vosk folder whose network is replaced. Synthetic speech in WORK/synth (synth.py) is used when it is there.
set -euo pipefail
speech=$1 work=$2 model=$3 seconds=${4:-1400}
shift $(( $# < 4 ? $# : 4 ))
here=$(dirname "$0")
mkdir -p "$work"
teacher=$work/teacher.mdl
[ -f "$teacher" ] || cp "$model/am/final.mdl" "$teacher"
synthetic=()
[ -f "$work/synth/transcripts.tsv" ] && synthetic=("$work/synth")
[ -f "$work/pack.zip" ] || python "$here/pack.py" "$speech" "$work/pack.zip" "${synthetic[@]}"
python "$here/train.py" --pack "$work/pack.zip" --teacher "$teacher" --out "$work/net" \
    --seconds "$seconds" --total "$seconds" "$@"
python "$here/export.py" "$work/net/average.pt" "$model"
python "$here/graph.py" "$model"
python "$here/manifest.py" "$model" --version "$(date +%Y.%m.%d)" --status release
