#!/bin/bash
# A throwaway PostgreSQL for a test run: eval "$(bash .ci/postgresql.sh start)" ... bash .ci/postgresql.sh stop
set -eu
programs=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -1)
folder=${PG_TRIAL:-${TMPDIR:-/tmp}/tierwright-postgresql-$(id -u)}
as_owner() { if [ "$(id -u)" = 0 ]; then runuser -u postgres -- "$@"; else "$@"; fi; }
case ${1:-} in
start)
  if [ -z "$programs" ]; then
    echo "PostgreSQL is not installed. On Debian: apt-get install postgresql" >&2
    exit 1
  fi
  rm -rf "$folder"
  mkdir -p "$folder"
  if [ "$(id -u)" = 0 ]; then chown postgres "$folder"; fi
  cd / # the server keeps the folder it was started from, which may not be its own to read
  as_owner "$programs/initdb" -D "$folder/data" -U app -A trust --no-sync -E UTF8 --locale=C.UTF-8 >"$folder.log" 2>&1
  # Nothing of it is to survive, so it need not sync.
  as_owner "$programs/pg_ctl" -D "$folder/data" -w -s -l "$folder/log" \
    -o "-c listen_addresses='' -c unix_socket_directories=$folder -c fsync=off -c synchronous_commit=off -c full_page_writes=off" start >&2
  echo "export SHOP_DATABASE_URL=postgres://app@${folder//\//%2F}/postgres"
  ;;
stop)
  cd /
  as_owner "$programs/pg_ctl" -D "$folder/data" -m immediate -s stop
  rm -rf "$folder"
  ;;
*)
  echo "usage: $0 start | stop" >&2
  exit 2
  ;;
esac
