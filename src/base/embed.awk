# Turn a text file into a C string constant: awk -v name=NAME -f embed.awk FILE
BEGIN { printf "extern const char %s[];\nconst char %s[] =\n", name, name }
{
    gsub(/\\/, "\\\\")
    gsub(/"/, "\\\"")
    sub(/\r$/, "")
    printf "    \"%s\\n\"\n", $0
}
END { print "    ;" }
