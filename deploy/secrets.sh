#!/bin/sh
# Makes the passwords that compose.yaml reads, once. What is there is left alone.
#
# The folder is for its owner alone; the files in it can be read by whoever gets
# there, for the users within the containers are others.
set -eu
folder=${1:-$(cd "$(dirname "$0")" && pwd)/secrets}
umask 077
mkdir -p "$folder"
chmod 700 "$folder"
if [ -e "$folder/database_password" ]; then
	echo "$folder has a password already" >&2
	exit 0
fi
# Hexadecimal digits: nothing in it that a passfile would have to escape.
password=$(od -An -N32 -tx1 /dev/urandom | tr -d ' \n')
[ ${#password} = 64 ]
printf '*:*:*:gaugerod:%s\n' "$password" >"$folder/database_passfile"
printf '%s' "$password" >"$folder/database_password"
chmod 444 "$folder/database_passfile" "$folder/database_password"
echo "made $folder/database_password and database_passfile; tls.pem is yours to put there" >&2
